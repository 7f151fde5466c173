using NetAudit.Circuits;

namespace NetAudit.Simulation.Devices;

/// <summary>
/// Junction field-effect transistor with the depletion charges of its gate (CGS, CGD, PB, FC): H. Shichman and D. A. Hodges, IEEE J. Solid-State Circuits 3, 1968, p. 285, with the doping
/// tail parameter B of SPICE3; defaults of the SPICE3 user manual, section 3.4.6. Inputs: inner drain, gate, inner source.
/// Flows: gate-source, gate-drain, drain-source.
/// </summary>
internal sealed unsafe class JunctionFetModel : NonlinearDevice
{
    private static readonly (int, int)[] AllFlows = [(1, 2), (1, 0), (0, 2)];
    private static readonly (int, int)[] AllPartials =
    [
        (0, 1),
        (0, 2),
        (1, 1),
        (1, 0),
        (2, 0),
        (2, 1),
        (2, 2),
    ];

    private readonly double _sign;
    private readonly double _threshold;
    private readonly double _beta;
    private readonly double _lambda;
    private readonly double _tail;
    private readonly double _tailSlope;
    private readonly double _saturation;
    private readonly double _thermal;
    private readonly double _critical;
    private readonly DepletionCharge _sourceDepletion;
    private readonly DepletionCharge _drainDepletion;

    public JunctionFetModel(DeviceModel card, double area, double celsius)
    {
        _sign = card.Kind == "pjf" ? -1 : 1;
        celsius = card.Get("temp", celsius);
        _thermal = PhysicalConstants.ThermalVoltage(celsius);
        _threshold = card.Get("vto", card.Get("vt0", -2));
        _beta = card.Get("beta", 1e-4) * area;
        _lambda = card.Get("lambda", 0);
        _tail = card.Get("b", 1);
        _tailSlope = (1 - _tail) / (card.Get("pb", 1) - _threshold);
        _saturation =
            area
            * Junction.SaturationCurrent(
                card.Get("is", 1e-14),
                celsius,
                card.Get("tnom", PhysicalConstants.NominalCelsius),
                1.11,
                0,
                1
            );
        _critical = Junction.CriticalVoltage(_thermal, _saturation);
        _sourceDepletion = DepletionCharge.Of(card, area, "cgs", ("pb", 1), ("m", 0.5));
        _drainDepletion = DepletionCharge.Of(card, area, "cgd", ("pb", 1), ("m", 0.5));
        DrainConductance = card.Get("rd", 0) > 0 ? area / card.Get("rd", 0) : 0;
        SourceConductance = card.Get("rs", 0) > 0 ? area / card.Get("rs", 0) : 0;
    }

    /// <summary>Siemens of RD; 0 when there is none.</summary>
    public double DrainConductance { get; }

    /// <summary>Siemens of RS; 0 when there is none.</summary>
    public double SourceConductance { get; }

    public override ReadOnlySpan<(int From, int To)> Flows => AllFlows;

    public override ReadOnlySpan<(int Flow, int Input)> Partials => AllPartials;

    public override int JunctionCount => 2;

    public override int ChargeCount => _sourceDepletion.Exists || _drainDepletion.Exists ? 2 : 0;

    public override bool Evaluate(ref DeviceFrame frame)
    {
        var appliedSource = _sign * (frame.Inputs[1] - frame.Inputs[2]);
        var appliedDrain = _sign * (frame.Inputs[1] - frame.Inputs[0]);
        var (vgs, vgd) = (appliedSource, appliedDrain);
        var limited = false;
        if (frame.Limit)
        {
            limited = Junction.Limit(ref vgs, frame.OldJunctions[0], _thermal, _critical);
            limited |= Junction.Limit(ref vgd, frame.OldJunctions[1], _thermal, _critical);
        }
        frame.NewJunctions[0] = vgs;
        frame.NewJunctions[1] = vgd;
        Junction.Evaluate(vgs, _saturation, _thermal, out var igs, out var ggs);
        Junction.Evaluate(vgd, _saturation, _thermal, out var igd, out var ggd);
        igs += frame.JunctionLeakage * vgs;
        ggs += frame.JunctionLeakage;
        igd += frame.JunctionLeakage * vgd;
        ggd += frame.JunctionLeakage;

        var threshold = _threshold + frame.Offset;
        var beta = _beta * frame.Strength;
        var vds = vgs - vgd;
        double drain,
            byGate,
            byDrain;
        if (vds >= 0)
        {
            Channel(vgs - threshold, vds, beta, out drain, out byGate, out byDrain);
        }
        else
        {
            // Drain and source exchange roles.
            Channel(vgd - threshold, -vds, beta, out drain, out var g, out var d);
            drain = -drain;
            // In terms of vgs and vds: vgd = vgs - vds.
            byGate = -g;
            byDrain = g + d;
        }
        var (stepS, stepD) = (appliedSource - vgs, appliedDrain - vgd);
        if (ChargeCount > 0)
        {
            frame.Store(0, _sourceDepletion.At(vgs), stepS, ref igs, ref ggs);
            frame.Store(1, _drainDepletion.At(vgd), stepD, ref igd, ref ggd);
        }
        frame.Flows[0] = _sign * (igs + ggs * stepS);
        frame.Flows[1] = _sign * (igd + ggd * stepD);
        frame.Flows[2] = _sign * (drain + byGate * stepS + byDrain * (stepS - stepD));
        frame.Partials[0] = ggs;
        frame.Partials[1] = -ggs;
        frame.Partials[2] = ggd;
        frame.Partials[3] = -ggd;
        frame.Partials[4] = byDrain;
        frame.Partials[5] = byGate;
        frame.Partials[6] = -byGate - byDrain;
        return limited;
    }

    private void Channel(
        double overdrive,
        double vds,
        double beta,
        out double drain,
        out double byGate,
        out double byDrain
    )
    {
        if (overdrive <= 0)
        {
            (drain, byGate, byDrain) = (0, 0, 0);
            return;
        }
        var modulated = beta * (1 + _lambda * vds);
        if (overdrive >= vds)
        {
            var slope = 2 * _tail + 3 * _tailSlope * (overdrive - vds);
            var shape = vds * (vds * (_tailSlope * vds - _tail) + overdrive * slope);
            drain = modulated * shape;
            byGate = modulated * vds * (slope + 3 * _tailSlope * overdrive);
            byDrain = modulated * (overdrive - vds) * slope + beta * _lambda * shape;
        }
        else
        {
            var tail = overdrive * _tailSlope;
            var shape = overdrive * overdrive * (_tail + tail);
            drain = modulated * shape;
            byGate = modulated * overdrive * (2 * _tail + 3 * tail);
            byDrain = beta * _lambda * shape;
        }
    }
}
