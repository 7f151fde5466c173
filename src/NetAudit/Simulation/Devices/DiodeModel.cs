using NetAudit.Circuits;

namespace NetAudit.Simulation.Devices;

/// <summary>
/// Junction diode with reverse breakdown, depletion charge (CJO, VJ, M, FC) and diffusion charge (TT). Inputs: anode behind the series resistance, cathode. Defaults: SPICE3 user manual,
/// section 3.4.2 (IS 1e-14, N 1, RS 0, CJO 0, VJ 1, M 0.5, FC 0.5, TT 0, EG 1.11, XTI 3, BV infinite, IBV 1e-3, TNOM 27 °C).
/// </summary>
internal sealed unsafe class DiodeModel : NonlinearDevice
{
    private static readonly (int, int)[] AllFlows = [(0, 1)];
    private static readonly (int, int)[] AllPartials = [(0, 0), (0, 1)];
    private readonly double _saturation;
    private readonly double _emissionVoltage;
    private readonly double _critical;
    private readonly double _breakdown;
    private readonly DepletionCharge _depletion;
    private readonly double _transitTime;

    public DiodeModel(DeviceModel card, double area, double celsius)
    {
        var emission = card.Get("n", 1);
        celsius = card.Get("temp", celsius);
        _emissionVoltage = emission * PhysicalConstants.ThermalVoltage(celsius);
        _saturation =
            area
            * Junction.SaturationCurrent(
                card.Get("is", 1e-14),
                celsius,
                card.Get("tnom", PhysicalConstants.NominalCelsius),
                card.Get("eg", 1.11),
                card.Get("xti", 3),
                emission
            );
        _critical = Junction.CriticalVoltage(_emissionVoltage, _saturation);
        var breakdown = Math.Abs(card.Get("bv", 0));
        _breakdown =
            breakdown > 0
                ? MatchBreakdown(breakdown, Math.Abs(card.Get("ibv", 1e-3)) * area)
                : double.PositiveInfinity;
        _depletion = DepletionCharge.Of(
            card,
            area,
            card.Parameters.ContainsKey("cj0") ? "cj0" : "cjo",
            ("vj", 1),
            ("m", 0.5)
        );
        _transitTime = card.Get("tt", 0);
        SeriesConductance = card.Get("rs", 0) > 0 ? area / card.Get("rs", 0) : 0;
    }

    /// <summary>True when the card gives a breakdown voltage, BV.</summary>
    public bool BreaksDown => double.IsFinite(_breakdown);

    /// <summary>Siemens of the series resistance; 0 when there is none.</summary>
    public double SeriesConductance { get; }

    public override ReadOnlySpan<(int From, int To)> Flows => AllFlows;

    public override ReadOnlySpan<(int Flow, int Input)> Partials => AllPartials;

    public override int JunctionCount => 1;

    public override int ChargeCount => _depletion.Exists || _transitTime > 0 ? 1 : 0;

    public override bool Evaluate(ref DeviceFrame frame)
    {
        var applied = frame.Inputs[0] - frame.Inputs[1];
        var volts = applied;
        var limited = frame.Limit && Limit(ref volts, frame.OldJunctions[0]);
        frame.NewJunctions[0] = volts;
        var saturation = _saturation * frame.Strength;
        var breakdown = _breakdown + frame.Offset;
        double amperes,
            siemens;
        if (volts >= -breakdown)
        {
            Junction.Evaluate(volts, saturation, _emissionVoltage, out amperes, out siemens);
        }
        else
        {
            // Breakdown: an exponential that carries -Is at the matched voltage. BV and IBV fix it, whatever the strength.
            var exponential = Math.Exp(-(breakdown + volts) / _emissionVoltage);
            amperes = -_saturation * exponential;
            siemens = _saturation * exponential / _emissionVoltage;
        }
        var (stored, farads) = (_transitTime * amperes, _transitTime * siemens);
        amperes += frame.JunctionLeakage * volts;
        siemens += frame.JunctionLeakage;
        if (ChargeCount > 0)
        {
            var (coulombs, depletion) = _depletion.At(volts);
            frame.Store(
                0,
                (stored + coulombs, farads + depletion),
                applied - volts,
                ref amperes,
                ref siemens
            );
        }
        frame.Flows[0] = amperes + siemens * (applied - volts);
        frame.Partials[0] = siemens;
        frame.Partials[1] = -siemens;
        return limited;
    }

    private bool Limit(ref double volts, double oldVolts)
    {
        if (volts >= Math.Min(0, 10 * _emissionVoltage - _breakdown))
        {
            return Junction.Limit(ref volts, oldVolts, _emissionVoltage, _critical);
        }
        var beyond = -(volts + _breakdown);
        var limited = Junction.Limit(
            ref beyond,
            -(oldVolts + _breakdown),
            _emissionVoltage,
            _critical
        );
        volts = -(beyond + _breakdown);
        return limited;
    }

    // The voltage at which the exponential must start for the current at BV to be IBV (SPICE3: solved by fixed-point iteration).
    private double MatchBreakdown(double breakdown, double current)
    {
        if (current < _saturation * breakdown / _emissionVoltage)
        {
            return breakdown;
        }
        var matched = breakdown - _emissionVoltage * Math.Log(1 + current / _saturation);
        for (var i = 0; i < 25; i++)
        {
            matched =
                breakdown
                - _emissionVoltage
                    * Math.Log(current / _saturation + 1 - matched / _emissionVoltage);
        }
        return matched;
    }
}
