using System.Globalization;

namespace NetAudit.Benchmarks.TubeFits;

/// <summary>What the laws of <c>tubes.lib</c> have in common, volts and amperes. The same functions stand in the library's text.</summary>
internal static class TubeLaws
{
    /// <summary>
    /// Rounds the point where an electrode ceases to collect electrons, volts: beyond it the current dies out exponentially, so that a
    /// floating electrode settles a few volts below the cathode, as a real one does.
    /// </summary>
    public const double Retarding = 0.5;

    /// <summary>
    /// Plate to grid, ohms: insulation and ions together, some nanoamperes. A grid behind its leak does not notice; one that hangs free
    /// drifts up until it draws current (common practice, no source).
    /// </summary>
    public const double GridInsulation = 100e9;

    /// <summary>
    /// Positive part of <paramref name="x"/> rounded over <paramref name="width"/> volts: width ln(1 + exp(x / width)), written so
    /// that no exponential overflows.
    /// </summary>
    public static double Soft(double x, double width)
    {
        var u = x / width;
        return width * (Math.Log(1 + Math.Exp(Math.Min(u, 40))) + Math.Max(u - 40, 0));
    }

    /// <summary>Part of the electrons that an electrode collects, 0 to 1: rises from 0 V with a knee of so many volts.</summary>
    public static double Collected(double volts, double knee)
    {
        var positive = Soft(volts, Retarding);
        return positive / Math.Sqrt(positive * positive + knee * knee);
    }

    /// <summary>Child's law: the 3/2 power of the rounded positive part of an effective voltage.</summary>
    public static double ThreeHalves(double effective, double width)
    {
        var positive = Soft(effective, width);
        return positive * Math.Sqrt(positive);
    }

    /// <summary>Rounded to the five significant digits that the library prints.</summary>
    public static double Round(double value) =>
        double.Parse(
            value.ToString("G5", CultureInfo.InvariantCulture),
            CultureInfo.InvariantCulture
        );
}

/// <summary>
/// Grid current with contact potential zero: for a 12AX7 about 20 uA at 0 V and 0.3 uA at -0.45 V. Size and shape follow the specimens
/// measured by Dempwolf and Zoelzer (DAFx 2011, from memory: 0.6 mA/V^1.3); the slope in the retarding field is 0.1 V per factor e, the
/// kT/q of an oxide cathode. Philips' limit for the type is 0.3 uA at -0.9 V (from memory).
/// </summary>
internal static class GridLaw
{
    public const double Width = 0.15;

    /// <summary>Grid perveance of a triode as a part of the plate's at zero bias: gives 0.5 mA/V^1.5 for a 12AX7.</summary>
    public const double TriodePart = 0.27;

    /// <summary>The same for pentodes, whose space current is set by the screen (common practice, no source).</summary>
    public const double PentodePart = 0.15;
}
