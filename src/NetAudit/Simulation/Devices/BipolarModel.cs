using NetAudit.Circuits;

namespace NetAudit.Simulation.Devices;

/// <summary>
/// Bipolar transistor: the integral charge control model of H. K. Gummel and H. C. Poon, Bell Syst. Tech. J. 49, 1970, p. 827,
/// in the form and with the defaults of the SPICE3 user manual, section 3.4.4. Inputs: inner collector, inner base, inner emitter,
/// outer base. Charges: depletion (CJE, CJC, all of it at the inner base) and diffusion (TF, TR); left out are XTF, PTF, CJS and XCJC. Flows: base-emitter, base-collector, transport (collector to emitter), base resistance.
/// </summary>
internal sealed unsafe class BipolarModel : NonlinearDevice
{
    private static readonly (int, int)[] AllFlows = [(1, 2), (1, 0), (0, 2), (3, 1)];
    private static readonly (int, int)[] AllPartials =
    [
        (0, 1),
        (0, 2),
        (1, 1),
        (1, 0),
        (2, 0),
        (2, 1),
        (2, 2),
        (3, 0),
        (3, 1),
        (3, 2),
        (3, 3),
    ];

    // 144/pi^2 and 24/pi^2 as SPICE rounds them.
    private const double CrowdingFactor = 14.59025;
    private const double CrowdingDivisor = 2.4317;
    private const double SmallAngle = 3e-3;

    private readonly double _sign;
    private readonly double _saturation;
    private readonly double _reverseSaturation;
    private readonly double _forwardVoltage;
    private readonly double _reverseVoltage;
    private readonly double _emitterLeakage;
    private readonly double _emitterLeakageVoltage;
    private readonly double _collectorLeakage;
    private readonly double _collectorLeakageVoltage;
    private readonly double _forwardBeta;
    private readonly double _reverseBeta;
    private readonly double _inverseForwardEarly;
    private readonly double _inverseReverseEarly;
    private readonly double _inverseForwardKnee;
    private readonly double _inverseReverseKnee;
    private readonly double _leastBaseResistance;
    private readonly double _baseResistanceRange;
    private readonly double _halfBaseCurrent;
    private readonly double _critical;
    private readonly DepletionCharge _emitterDepletion;
    private readonly DepletionCharge _collectorDepletion;
    private readonly double _forwardTransit;
    private readonly double _reverseTransit;

    public BipolarModel(DeviceModel card, double area, double celsius)
    {
        _sign = card.Kind == "pnp" ? -1 : 1;
        celsius = card.Get("temp", celsius);
        var nominal = card.Get("tnom", PhysicalConstants.NominalCelsius);
        var thermal = PhysicalConstants.ThermalVoltage(celsius);
        var ratio = (celsius + PhysicalConstants.Kelvin) / (nominal + PhysicalConstants.Kelvin);
        var energyGap = card.Get("eg", 1.11);
        var exponent = card.Get("xti", 3);
        var betaRatio = Math.Pow(ratio, card.Get("xtb", 0));
        double Warm(double amperes, double emission) =>
            area
            * Junction.SaturationCurrent(amperes, celsius, nominal, energyGap, exponent, emission);

        _saturation = Warm(card.Get("is", 1e-16), 1);
        // Measured: ngspice 39 scales the collector junction by the area twice (its AREAB defaults to AREA); SPICE3 does so once.
        _reverseSaturation = _saturation * area;
        _forwardVoltage = card.Get("nf", 1) * thermal;
        _reverseVoltage = card.Get("nr", 1) * thermal;
        _emitterLeakage = Warm(card.Get("ise", 0), card.Get("ne", 1.5)) / betaRatio;
        _emitterLeakageVoltage = card.Get("ne", 1.5) * thermal;
        _collectorLeakage = Warm(card.Get("isc", 0), card.Get("nc", 2)) / betaRatio;
        _collectorLeakageVoltage = card.Get("nc", 2) * thermal;
        _forwardBeta = card.Get("bf", 100) * betaRatio;
        _reverseBeta = card.Get("br", 1) * betaRatio;
        _inverseForwardEarly = Inverse(card.Get("vaf", card.Get("va", 0)));
        _inverseReverseEarly = Inverse(card.Get("var", card.Get("vb", 0)));
        _inverseForwardKnee = Inverse(card.Get("ikf", card.Get("ik", 0)) * area);
        _inverseReverseKnee = Inverse(card.Get("ikr", 0) * area);
        var baseResistance = card.Get("rb", 0);
        _leastBaseResistance = card.Get("rbm", baseResistance) / area;
        _baseResistanceRange = baseResistance / area - _leastBaseResistance;
        _halfBaseCurrent = card.Get("irb", 0) * area;
        _critical = Junction.CriticalVoltage(thermal, _saturation);
        _emitterDepletion = DepletionCharge.Of(card, area, "cje", ("vje", 0.75), ("mje", 0.33));
        _collectorDepletion = DepletionCharge.Of(card, area, "cjc", ("vjc", 0.75), ("mjc", 0.33));
        _forwardTransit = card.Get("tf", 0);
        _reverseTransit = card.Get("tr", 0);
        HasBaseResistance = baseResistance > 0;
        CollectorConductance = Inverse(card.Get("rc", 0) / area);
        EmitterConductance = Inverse(card.Get("re", 0) / area);
    }

    public bool HasBaseResistance { get; }

    /// <summary>Whether the substrate lies under the base, as SPICE takes it for pnp, and not under the collector.</summary>
    public bool IsLateral => _sign < 0;

    /// <summary>Siemens of RC; 0 when there is none.</summary>
    public double CollectorConductance { get; }

    /// <summary>Siemens of RE; 0 when there is none.</summary>
    public double EmitterConductance { get; }

    // Without a base resistance the fourth flow and its partials fall away.
    public override ReadOnlySpan<(int From, int To)> Flows =>
        AllFlows.AsSpan(0, HasBaseResistance ? 4 : 3);

    public override ReadOnlySpan<(int Flow, int Input)> Partials =>
        AllPartials.AsSpan(0, HasBaseResistance ? 11 : 7);

    public override int JunctionCount => 2;

    public override int ChargeCount =>
        _emitterDepletion.Exists
        || _collectorDepletion.Exists
        || _forwardTransit > 0
        || _reverseTransit > 0
            ? 2
            : 0;

    public override bool Evaluate(ref DeviceFrame frame)
    {
        var appliedEmitter = _sign * (frame.Inputs[1] - frame.Inputs[2]);
        var appliedCollector = _sign * (frame.Inputs[1] - frame.Inputs[0]);
        var (vbe, vbc) = (appliedEmitter, appliedCollector);
        var limited = false;
        if (frame.Limit)
        {
            limited = Junction.Limit(ref vbe, frame.OldJunctions[0], _forwardVoltage, _critical);
            limited |= Junction.Limit(ref vbc, frame.OldJunctions[1], _reverseVoltage, _critical);
        }
        frame.NewJunctions[0] = vbe;
        frame.NewJunctions[1] = vbc;
        var saturation = _saturation * frame.Strength;
        Junction.Evaluate(vbe, saturation, _forwardVoltage, out var ibe, out var gbe);
        Junction.Evaluate(
            vbc,
            _reverseSaturation * frame.Strength,
            _reverseVoltage,
            out var ibc,
            out var gbc
        );
        var (leakE, leakEslope, leakC, leakCslope) = (0.0, 0.0, 0.0, 0.0);
        if (_emitterLeakage > 0)
        {
            Junction.Evaluate(
                vbe,
                _emitterLeakage,
                _emitterLeakageVoltage,
                out leakE,
                out leakEslope
            );
        }
        if (_collectorLeakage > 0)
        {
            Junction.Evaluate(
                vbc,
                _collectorLeakage,
                _collectorLeakageVoltage,
                out leakC,
                out leakCslope
            );
        }
        // Base charge qb = q1 (1 + sqrt(1 + 4 q2)) / 2, q1 of the Early effect, q2 of high injection.
        var q1 = 1 / (1 - _inverseForwardEarly * vbc - _inverseReverseEarly * vbe);
        var q2 = _inverseForwardKnee * ibe + _inverseReverseKnee * ibc;
        var radicand = Math.Max(0, 1 + 4 * q2);
        var root = radicand > 0 ? Math.Sqrt(radicand) : 1;
        var charge = q1 * (1 + root) / 2;
        var chargeByVbe = q1 * (charge * _inverseReverseEarly + _inverseForwardKnee * gbe / root);
        var chargeByVbc = q1 * (charge * _inverseForwardEarly + _inverseReverseKnee * gbc / root);

        var forwardBeta = _forwardBeta * frame.Gain;
        var baseEmitter = ibe / forwardBeta + leakE + frame.JunctionLeakage * vbe;
        var baseEmitterSlope = gbe / forwardBeta + leakEslope + frame.JunctionLeakage;
        var baseCollector = ibc / _reverseBeta + leakC + frame.JunctionLeakage * vbc;
        var baseCollectorSlope = gbc / _reverseBeta + leakCslope + frame.JunctionLeakage;
        var (baseCurrent, baseByVbe, baseByVbc) = (
            baseEmitter + baseCollector,
            baseEmitterSlope,
            baseCollectorSlope
        );
        var transport = (ibe - ibc) / charge;
        var transportByVbe = (gbe - transport * chargeByVbe) / charge;
        var transportByVbc = (-gbc - transport * chargeByVbc) / charge;

        var (stepE, stepC) = (appliedEmitter - vbe, appliedCollector - vbc);
        if (ChargeCount > 0)
        {
            // The forward charge also depends on vbc, through the base charge: left to the residual, it costs Newton's method little.
            var depletionE = _emitterDepletion.At(vbe);
            var carried = _forwardTransit / charge;
            var chargeE = depletionE.Coulombs + carried * ibe;
            var capacitanceE = depletionE.Farads + carried * (gbe - ibe * chargeByVbe / charge);
            frame.Store(0, (chargeE, capacitanceE), stepE, ref baseEmitter, ref baseEmitterSlope);
            var depletionC = _collectorDepletion.At(vbc);
            var chargeC = depletionC.Coulombs + _reverseTransit * ibc;
            var capacitanceC = depletionC.Farads + _reverseTransit * gbc;
            frame.Store(
                1,
                (chargeC, capacitanceC),
                stepC,
                ref baseCollector,
                ref baseCollectorSlope
            );
        }
        frame.Flows[0] = _sign * (baseEmitter + baseEmitterSlope * stepE);
        frame.Flows[1] = _sign * (baseCollector + baseCollectorSlope * stepC);
        frame.Flows[2] = _sign * (transport + transportByVbe * stepE + transportByVbc * stepC);
        frame.Partials[0] = baseEmitterSlope;
        frame.Partials[1] = -baseEmitterSlope;
        frame.Partials[2] = baseCollectorSlope;
        frame.Partials[3] = -baseCollectorSlope;
        frame.Partials[4] = -transportByVbc;
        frame.Partials[5] = transportByVbe + transportByVbc;
        frame.Partials[6] = -transportByVbe;
        if (HasBaseResistance)
        {
            BaseResistance(
                ref frame,
                charge,
                chargeByVbe,
                chargeByVbc,
                baseCurrent,
                baseByVbe,
                baseByVbc,
                stepE,
                stepC
            );
        }
        return limited;
    }

    // Base resistance falls from RB to RBM, with the base charge, or with the base current when IRB is given (SPICE3 manual).
    private void BaseResistance(
        ref DeviceFrame frame,
        double charge,
        double chargeByVbe,
        double chargeByVbc,
        double baseCurrent,
        double baseByVbe,
        double baseByVbc,
        double stepE,
        double stepC
    )
    {
        double ohms,
            byVbe,
            byVbc;
        if (_halfBaseCurrent > 0)
        {
            var ratio = Math.Max(baseCurrent / _halfBaseCurrent, 1e-9);
            var z = BaseAngle(ratio);
            ohms = _leastBaseResistance + _baseResistanceRange * Crowding(z);
            var slope = 0.0;
            if (ratio > 1e-9)
            {
                // d(ohms)/d(ratio) through z, both derivatives in closed form.
                var inner = Math.Sqrt(1 + CrowdingFactor * ratio);
                var root = Math.Sqrt(ratio);
                var zByRatio =
                    CrowdingFactor
                    / CrowdingDivisor
                    * ((1 + inner) / (2 * root) - root * CrowdingFactor / (2 * inner))
                    / ((1 + inner) * (1 + inner));
                slope = _baseResistanceRange * CrowdingSlope(z) * zByRatio / _halfBaseCurrent;
            }
            byVbe = slope * baseByVbe;
            byVbc = slope * baseByVbc;
        }
        else
        {
            ohms = _leastBaseResistance + _baseResistanceRange / charge;
            var slope = -_baseResistanceRange / (charge * charge);
            byVbe = slope * chargeByVbe;
            byVbc = slope * chargeByVbc;
        }
        var conductance = 1 / Math.Max(ohms, 1e-6);
        var drop = frame.Inputs[3] - frame.Inputs[1];
        var amperes = conductance * drop;
        var currentByVbe = -amperes * conductance * byVbe * _sign;
        var currentByVbc = -amperes * conductance * byVbc * _sign;
        frame.Flows[3] = amperes + _sign * (currentByVbe * stepE + currentByVbc * stepC);
        frame.Partials[7] = -currentByVbc;
        frame.Partials[8] = -conductance + currentByVbe + currentByVbc;
        frame.Partials[9] = -currentByVbe;
        frame.Partials[10] = conductance;
    }

    // (sqrt(1 + 144/pi^2 r) - 1) / (24/pi^2 sqrt(r)), in a form that keeps its digits for small r.
    private static double BaseAngle(double ratio) =>
        CrowdingFactor
        / CrowdingDivisor
        * Math.Sqrt(ratio)
        / (1 + Math.Sqrt(1 + CrowdingFactor * ratio));

    // 3 (tan z - z) / (z tan^2 z); its series where the difference would lose its digits.
    private static double Crowding(double z)
    {
        if (z < SmallAngle)
        {
            return 1 - 4.0 / 15 * z * z;
        }
        var tangent = Math.Tan(z);
        return 3 * (tangent - z) / (z * tangent * tangent);
    }

    private static double CrowdingSlope(double z)
    {
        if (z < SmallAngle)
        {
            return -8.0 / 15 * z;
        }
        var t = Math.Tan(z);
        var tSlope = 1 + t * t;
        var (numerator, denominator) = (t - z, z * t * t);
        return 3
            * ((tSlope - 1) * denominator - numerator * (t * t + 2 * z * t * tSlope))
            / (denominator * denominator);
    }

    private static double Inverse(double value) => value > 0 ? 1 / value : 0;
}
