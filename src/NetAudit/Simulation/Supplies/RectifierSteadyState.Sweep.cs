namespace NetAudit.Simulation.Supplies;

// One period, with the derivatives of its result carried along.
internal sealed partial class RectifierSteadyState
{
    // Derivatives by: start volts, amperes; then the inputs: volts, secondary, ohms, first, second, farads, reservoir ohms.
    private const int ColumnCount = 9;

    /// <summary>
    /// Follows one period. Returns by how much the voltage misses its start and the average misses the given one, both volts; their
    /// derivatives by the first <paramref name="count"/> columns are in the two rows of <paramref name="columns"/>.
    /// </summary>
    private (double Miss, double Average) Sweep(
        double startVolts,
        double amps,
        int count,
        Span<double> columns,
        double[]? stageSlopes = null
    )
    {
        ref readonly var p = ref _input;
        var h = 1 / (2 * Frequency * _halfSteps);
        var c = p.Farads;
        var beta = h * Gamma / c + p.ReservoirOhms;
        // The load: conductance and, at 0 V, current. Near 0 V the load is not a resistance of volts over amperes any more.
        var w = Math.Sqrt(p.Volts * p.Volts + 1);
        var g = amps / w + _smoothing;
        var j = amps - g * p.Volts;
        var d = 1 / (1 + beta * g);
        var b = d * beta;
        var ohms = p.Ohms + b;
        Span<double> dBeta = stackalloc double[ColumnCount];
        Span<double> dG = stackalloc double[ColumnCount];
        Span<double> dJ = stackalloc double[ColumnCount];
        Span<double> dD = stackalloc double[ColumnCount];
        Span<double> dB = stackalloc double[ColumnCount];
        Span<double> dV = stackalloc double[ColumnCount];
        Span<double> dAverage = stackalloc double[ColumnCount];
        dV.Clear();
        dBeta.Clear();
        dG.Clear();
        dAverage.Clear();
        dV[0] = 1;
        dG[1] = 1 / w;
        dG[2] = -amps * p.Volts / (w * w * w);
        dBeta[7] = -h * Gamma / (c * c);
        dBeta[8] = 1;
        for (var k = 0; k < count; k++)
        {
            dJ[k] = (k == 1 ? 1 : 0) - dG[k] * p.Volts - (k == 2 ? g : 0);
            dD[k] = -d * d * (dBeta[k] * g + beta * dG[k]);
            dB[k] = dD[k] * beta + d * dBeta[k];
        }
        var (v, average, rectifierVolts) = (startVolts, 0.0, double.PositiveInfinity);
        for (var stage = 0; stage < 2 * _steps; stage++)
        {
            var isSecond = stage % 2 == 1;
            var (drive, factor) = Drive(stage);
            var a = d * (v - beta * j);
            var (i, byVolts, byFactor) = (0.0, 0.0, 0.0);
            if (factor > 0)
            {
                i = _path.Amps(
                    drive - a,
                    ohms,
                    factor,
                    ref rectifierVolts,
                    out byVolts,
                    out byFactor
                );
            }
            var node = a + b * i;
            var charging = i - amps - g * (node - p.Volts);
            var weight = isSecond ? Gamma : 1 - Gamma;
            average += weight * node;
            _stageVolts[stage] = node;
            _stageAmps[stage] = i;
            // v becomes what the next stage starts from: after the first stage its share, after the second the end of the step.
            var advance = h * weight / c;
            var isPositive = _sine[stage] >= 0;
            for (var k = 0; k < count; k++)
            {
                var dA = dD[k] * (v - beta * j) + d * (dV[k] - dBeta[k] * j - beta * dJ[k]);
                var dDrive = k == 3 ? Math.Abs(_sine[stage]) : 0;
                var dOhms = dB[k] + (k == 4 ? 1 : 0);
                var dI = byVolts * (dDrive - dA - i * dOhms);
                if (k == (isPositive ? 5 : 6))
                {
                    dI += byFactor;
                }
                if (stageSlopes is not null)
                {
                    stageSlopes[stage * ColumnCount + k] = dI;
                }
                var dNode = dA + dB[k] * i + b * dI;
                var dCharging =
                    dI
                    - (k == 1 ? 1 : 0)
                    - dG[k] * (node - p.Volts)
                    - g * (dNode - (k == 2 ? 1 : 0));
                dV[k] += advance * (dCharging - (k == 7 ? charging / c : 0));
                dAverage[k] += weight * dNode;
            }
            v += advance * charging;
        }
        for (var k = 0; k < count; k++)
        {
            columns[k] = dV[k] - (k == 0 ? 1 : 0);
            columns[ColumnCount + k] = dAverage[k] / _steps - (k == 2 ? 1 : 0);
        }
        return (v - startVolts, average / _steps - p.Volts);
    }
}
