namespace NetAudit.Simulation.Transients;

/// <summary>
/// One step h of the composite rule TR-BDF2: the trapezoidal rule over the share γ of the step, then the second-order backward
/// differentiation formula over the rest. R. E. Bank et al., IEEE Trans. Electron Devices 32, 1985, p. 1992; M. E. Hosea and
/// L. F. Shampine, Appl. Numer. Math. 20, 1996, p. 21. With γ = 2 - √2 both stages have one and the same Jacobian. It is of second order,
/// damps what is faster than the step (so nothing rings after a jump), and needs nothing from earlier steps, so that the step may change
/// at any time.
/// <para>
/// In terms of a charge q with current i = dq/dt (or a flux with its voltage) each stage reads i = rate q + history.
/// </para>
/// </summary>
internal static class CompositeRule
{
    /// <summary>γ, the share of the step that the first stage covers.</summary>
    public const double Share = 2 - Root;

    private const double Root = 1.4142135623730951;

    // q2 = Middle qγ - Old q0 + ..., Bank et al. equation (28).
    private const double Middle = 1 / (Share * (2 - Share));
    private const double Old = (1 - Share) * (1 - Share) / (Share * (2 - Share));

    // The error of a step is ErrorFactor h³ q'''.
    private const double ErrorFactor = (-3 * Share * Share + 4 * Share - 2) / (12 * (2 - Share));

    /// <summary>Rate of both stages, 1/s.</summary>
    public static double Rate(double step) => 2 / (Share * step);

    /// <summary>History of the first stage.</summary>
    public static double FirstHistory(double rate, double charge, double current) =>
        -rate * charge - current;

    /// <summary>History of the second stage.</summary>
    public static double SecondHistory(double rate, double charge, double middleCharge) =>
        rate * (Old * charge - Middle * middleCharge);

    /// <summary>What the step is off by in charge, from the currents before, between and after.</summary>
    public static double Error(double step, double before, double between, double after) =>
        2
        * ErrorFactor
        * step
        * (before / Share - between / (Share * (1 - Share)) + after / (1 - Share));
}
