using NetAudit.Circuits;

namespace NetAudit.Simulation.Devices;

/// <summary>
/// MOS field-effect transistor, level 1, at DC: H. Shichman and D. A. Hodges, IEEE J. Solid-State Circuits 3, 1968, p. 285, with body
/// effect; process parameters and defaults of the SPICE3 user manual, section 3.4.8. Inputs: inner drain, gate, inner source, bulk.
/// Flows: bulk-source, bulk-drain, drain-source.
/// </summary>
internal sealed unsafe class MosFetModel : NonlinearDevice
{
    private const double IntrinsicDensity = 1.45e16;
    private static readonly (int, int)[] AllFlows = [(3, 2), (3, 0), (0, 2)];
    private static readonly (int, int)[] AllPartials =
    [
        (0, 3),
        (0, 2),
        (1, 3),
        (1, 0),
        (2, 0),
        (2, 1),
        (2, 2),
        (2, 3),
    ];

    private readonly double _sign;
    private readonly double _flatBand;
    private readonly double _bodyFactor;
    private readonly double _surfacePotential;
    private readonly double _beta;
    private readonly double _lambda;
    private readonly double _saturation;
    private readonly double _thermal;
    private readonly double _critical;

    public MosFetModel(
        DeviceModel card,
        double length,
        double width,
        double parallel,
        double celsius
    )
    {
        _sign = card.Kind == "pmos" ? -1 : 1;
        celsius = card.Get("temp", celsius);
        var nominal = card.Get("tnom", PhysicalConstants.NominalCelsius);
        _thermal = PhysicalConstants.ThermalVoltage(celsius);
        var ratio = (celsius + PhysicalConstants.Kelvin) / (nominal + PhysicalConstants.Kelvin);
        var process = Process.Derive(card, _sign, nominal);
        _bodyFactor = process.BodyFactor;
        var gapShift = 0.5 * (process.EnergyGap - EnergyGap(celsius));
        // Surface potential with temperature: phi(T) = phi T/Tn - 3 Vt ln(T/Tn) - Eg(Tn) T/Tn + Eg(T).
        _surfacePotential =
            process.SurfacePotential * ratio
            - 3 * _thermal * Math.Log(ratio)
            - process.EnergyGap * ratio
            + EnergyGap(celsius);
        _flatBand =
            _sign * process.Threshold
            - _bodyFactor * Math.Sqrt(process.SurfacePotential)
            + _sign * gapShift
            + 0.5 * (_surfacePotential - process.SurfacePotential);
        _lambda = card.Get("lambda", 0);
        var effectiveLength = length - 2 * card.Get("ld", 0);
        _beta =
            process.Transconductance
            / (ratio * Math.Sqrt(ratio))
            * width
            / effectiveLength
            * parallel;
        _saturation =
            parallel
            * card.Get("is", 1e-14)
            * Math.Exp(
                process.EnergyGap / PhysicalConstants.ThermalVoltage(nominal)
                    - EnergyGap(celsius) / _thermal
            );
        _critical = Junction.CriticalVoltage(_thermal, _saturation);
        DrainConductance = card.Get("rd", 0) > 0 ? parallel / card.Get("rd", 0) : 0;
        SourceConductance = card.Get("rs", 0) > 0 ? parallel / card.Get("rs", 0) : 0;
    }

    /// <summary>Siemens of RD; 0 when there is none.</summary>
    public double DrainConductance { get; }

    /// <summary>Siemens of RS; 0 when there is none.</summary>
    public double SourceConductance { get; }

    public override ReadOnlySpan<(int From, int To)> Flows => AllFlows;

    public override ReadOnlySpan<(int Flow, int Input)> Partials => AllPartials;

    public override int JunctionCount => 2;

    public override bool Evaluate(ref DeviceFrame frame)
    {
        var appliedSource = _sign * (frame.Inputs[3] - frame.Inputs[2]);
        var appliedDrain = _sign * (frame.Inputs[3] - frame.Inputs[0]);
        var (vbs, vbd) = (appliedSource, appliedDrain);
        var limited = false;
        if (frame.Limit)
        {
            limited = Junction.Limit(ref vbs, frame.OldJunctions[0], _thermal, _critical);
            limited |= Junction.Limit(ref vbd, frame.OldJunctions[1], _thermal, _critical);
        }
        frame.NewJunctions[0] = vbs;
        frame.NewJunctions[1] = vbd;
        Junction.Evaluate(vbs, _saturation, _thermal, out var ibs, out var gbs);
        Junction.Evaluate(vbd, _saturation, _thermal, out var ibd, out var gbd);
        ibs += frame.JunctionLeakage * vbs;
        gbs += frame.JunctionLeakage;
        ibd += frame.JunctionLeakage * vbd;
        gbd += frame.JunctionLeakage;

        // The channel takes the applied voltages: its law bends gently and needs no limiting.
        var vgs = _sign * (frame.Inputs[1] - frame.Inputs[2]);
        var vds = _sign * (frame.Inputs[0] - frame.Inputs[2]);
        double drain,
            byGate,
            byDrain,
            byBulk;
        if (vds >= 0)
        {
            Channel(
                ref frame,
                vgs,
                vds,
                appliedSource,
                out drain,
                out byGate,
                out byDrain,
                out byBulk
            );
        }
        else
        {
            // Drain and source exchange roles; back in terms of vgs, vds, vbs by vgd = vgs - vds, vbd = vbs - vds.
            Channel(
                ref frame,
                vgs - vds,
                -vds,
                appliedDrain,
                out drain,
                out var g,
                out var d,
                out var b
            );
            drain = -drain;
            byGate = -g;
            byBulk = -b;
            byDrain = g + d + b;
        }
        frame.Flows[0] = _sign * (ibs + gbs * (appliedSource - vbs));
        frame.Flows[1] = _sign * (ibd + gbd * (appliedDrain - vbd));
        frame.Flows[2] = _sign * drain;
        frame.Partials[0] = gbs;
        frame.Partials[1] = -gbs;
        frame.Partials[2] = gbd;
        frame.Partials[3] = -gbd;
        frame.Partials[4] = byDrain;
        frame.Partials[5] = byGate;
        frame.Partials[6] = -byGate - byDrain - byBulk;
        frame.Partials[7] = byBulk;
        return limited;
    }

    private void Channel(
        ref DeviceFrame frame,
        double vgs,
        double vds,
        double vbs,
        out double drain,
        out double byGate,
        out double byDrain,
        out double byBulk
    )
    {
        // Body effect: sqrt(phi - vbs), continued by its tangent at 0 for forward bias (SPICE3 level 1).
        double root,
            rootSlope;
        if (vbs <= 0)
        {
            root = Math.Sqrt(_surfacePotential - vbs);
            rootSlope = -0.5 / root;
        }
        else
        {
            var atZero = Math.Sqrt(_surfacePotential);
            root = Math.Max(0, atZero - vbs / (2 * atZero));
            rootSlope = root > 0 ? -0.5 / atZero : 0;
        }
        var overdrive = vgs - (_flatBand + frame.Offset + _bodyFactor * root);
        if (overdrive <= 0)
        {
            (drain, byGate, byDrain, byBulk) = (0, 0, 0, 0);
            return;
        }
        var beta = _beta * frame.Strength;
        var modulated = beta * (1 + _lambda * vds);
        if (overdrive <= vds)
        {
            drain = modulated * overdrive * overdrive * 0.5;
            byGate = modulated * overdrive;
            byDrain = _lambda * beta * overdrive * overdrive * 0.5;
        }
        else
        {
            var shape = vds * (overdrive - 0.5 * vds);
            drain = modulated * shape;
            byGate = modulated * vds;
            byDrain = modulated * (overdrive - vds) + _lambda * beta * shape;
        }
        byBulk = -byGate * _bodyFactor * rootSlope;
    }

    // Energy gap of silicon, eV, against temperature (SPICE3 level 1).
    private static double EnergyGap(double celsius)
    {
        var kelvin = celsius + PhysicalConstants.Kelvin;
        return 1.16 - 7.02e-4 * kelvin * kelvin / (kelvin + 1108);
    }

    /// <summary>Electrical parameters, given on the card or derived from oxide thickness and doping by the rules of SPICE3.</summary>
    private readonly record struct Process(
        double Threshold,
        double Transconductance,
        double BodyFactor,
        double SurfacePotential,
        double EnergyGap
    )
    {
        public static Process Derive(DeviceModel card, double sign, double nominalCelsius)
        {
            var gap = MosFetModel.EnergyGap(nominalCelsius);
            var threshold = card.Get("vto", card.Get("vt0", 0));
            var transconductance = card.Get("kp", 2e-5);
            var body = card.Get("gamma", 0);
            var phi = card.Get("phi", 0.6);
            var oxide = card.Get("tox", 0);
            if (oxide <= 0)
            {
                return new(threshold, transconductance, body, phi, gap);
            }
            var capacitance = 3.9 * PhysicalConstants.VacuumPermittivity / oxide;
            transconductance = card.Get("kp", card.Get("uo", 600) * 1e-4 * capacitance);
            var doping = card.Get("nsub", 0) * 1e6;
            if (doping > IntrinsicDensity)
            {
                phi = card.Get(
                    "phi",
                    Math.Max(
                        0.1,
                        2
                            * PhysicalConstants.ThermalVoltage(nominalCelsius)
                            * Math.Log(doping / IntrinsicDensity)
                    )
                );
                body = card.Get(
                    "gamma",
                    Math.Sqrt(
                        2
                            * 11.7
                            * PhysicalConstants.VacuumPermittivity
                            * PhysicalConstants.Charge
                            * doping
                    ) / capacitance
                );
                var gateType = card.Get("tpg", 1);
                var gateWorkFunction =
                    gateType != 0 ? 3.25 + 0.5 * gap - sign * gateType * 0.5 * gap : 3.2;
                var difference = gateWorkFunction - (3.25 + 0.5 * gap + sign * 0.5 * phi);
                var flatBand =
                    difference - card.Get("nss", 0) * 1e4 * PhysicalConstants.Charge / capacitance;
                threshold = card.Get(
                    "vto",
                    card.Get("vt0", flatBand + sign * (body * Math.Sqrt(phi) + phi))
                );
            }
            return new(threshold, transconductance, body, phi, gap);
        }
    }
}
