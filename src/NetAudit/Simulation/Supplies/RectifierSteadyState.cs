using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Simulation.Supplies;

/// <summary>
/// Periodic steady state of a rectifier with reservoir: which average current it delivers at an average reservoir voltage. The
/// reservoir C (with series ohms E) obeys C dv/dt = i(t) - iL(t); the load draws iL = I v/V and, through the smoothing resistors to
/// the next capacitors, G (v - V) more: on average I. One period is taken in steps of the two-stage, stiffly accurate, diagonally
/// implicit Runge-Kutta method of order 2 (R. Alexander, SIAM J. Numer. Anal. 14, 1977, p. 1006), which damps what is faster than a
/// step; start voltage and current are found by Newton's method, so the derivatives are those of the very numbers returned.
/// Keeps no state from one solution to the next. Not thread-safe; allocates nothing after construction.
/// </summary>
internal sealed partial class RectifierSteadyState
{
    /// <summary>Steps a half cycle: within 0.1 % of the limit of many (a test holds it).</summary>
    internal const int DefaultSteps = 48;

    private static readonly double Gamma = 1 - Math.Sqrt(0.5);
    private const int MostIterations = 40;
    private const double Tolerance = 1e-12;

    // Where rounding may keep the error from shrinking further.
    private const double RoundingTolerance = 1e-8;

    // What wires and windings have; keeps the equations of an open reservoir within reason.
    private const double LeastFarads = 1e-9;
    private const double Leakage = 1e-9;
    private const double LeastOhms = 1e-3;

    private readonly RectifierPath _path;
    private readonly bool _isHalfWave;
    private readonly double _smoothing;
    private readonly int _halfSteps;
    private readonly double[] _sine;
    private readonly double[] _stageVolts;
    private readonly double[] _stageAmps;
    private RectifierInput _input;
    private int _steps;
    private double _startVolts;

    /// <param name="law">Law of one rectifier.</param>
    /// <param name="circuit">How they are connected.</param>
    /// <param name="frequency">Mains frequency, hertz.</param>
    /// <param name="smoothing">Siemens from the reservoir to nodes whose volts do not ripple.</param>
    /// <param name="halfSteps">Steps a half cycle.</param>
    public RectifierSteadyState(
        RectifierLaw law,
        RectifierCircuit circuit,
        double frequency,
        double smoothing = 0,
        int halfSteps = DefaultSteps
    )
    {
        _path = new(law, circuit == RectifierCircuit.Bridge);
        _isHalfWave = circuit == RectifierCircuit.HalfWave;
        _smoothing = smoothing;
        Frequency = frequency;
        _halfSteps = halfSteps;
        _sine = new double[4 * halfSteps];
        _stageVolts = new double[_sine.Length];
        _stageAmps = new double[_sine.Length];
        for (var i = 0; i < _sine.Length; i++)
        {
            var step = i / 2 + (i % 2 == 0 ? Gamma : 1);
            _sine[i] = Math.Sqrt(2) * Math.Sin(Math.PI * step / halfSteps);
        }
    }

    /// <summary>Mains frequency in hertz.</summary>
    public double Frequency { get; }

    /// <summary>Average amperes of the last solution.</summary>
    public double Amps { get; private set; }

    /// <summary>Derivative of <see cref="Amps"/> by the reservoir's average volts, siemens; not above 0.</summary>
    public double ByVolts { get; private set; }

    /// <summary>True when the two half cycles are alike, so that half a period is the whole.</summary>
    private bool IsSymmetric => !_isHalfWave && _input.First == _input.Second;

    /// <summary>Finds the steady state; false when the iteration did not settle.</summary>
    public bool Solve(in RectifierInput input)
    {
        _input = input with
        {
            Farads = Math.Max(input.Farads, LeastFarads),
            Ohms = Math.Max(input.Ohms, LeastOhms),
        };
        _steps = IsSymmetric ? _halfSteps : 2 * _halfSteps;
        var v0 = input.Volts;
        var amps = RippleFreeAmps();
        Span<double> columns = stackalloc double[2 * ColumnCount];
        var error = double.PositiveInfinity;
        var (dv, di) = (0.0, 0.0);
        var scale = 1 + Math.Abs(input.Volts);
        for (var iteration = 0; iteration < MostIterations; iteration++)
        {
            var (miss, average) = Sweep(v0, amps, 3, columns);
            var size = Math.Abs(miss) + Math.Abs(average);
            var isStuck = size >= error && error <= RoundingTolerance * scale;
            if (!(size < error) && !isStuck)
            {
                // Shorter: half of what is left of the last step is taken back.
                (dv, di) = (dv / 2, di / 2);
                v0 -= dv;
                amps -= di;
                continue;
            }
            var (a, b) = (columns[0], columns[1]);
            var (c, d) = (columns[ColumnCount], columns[ColumnCount + 1]);
            var determinant = a * d - b * c;
            if (determinant == 0)
            {
                return false;
            }
            error = size;
            dv = (b * average - d * miss) / determinant;
            di = (c * miss - a * average) / determinant;
            if (amps > Leakage && amps + di < 0)
            {
                // The average over the current is a hyperbola where the reservoir holds little: approach zero from above.
                var part = -0.9 * amps / di;
                (dv, di) = (part * dv, part * di);
            }
            v0 += dv;
            amps += di;
            if (size <= Tolerance * scale || isStuck)
            {
                // The last step costs nothing; slopes are those before it.
                (_startVolts, Amps) = (v0, amps);
                ByVolts = (c * columns[2] - a * columns[ColumnCount + 2]) / determinant;
                return true;
            }
        }
        return false;
    }

    /// <summary>Derivatives of <see cref="Amps"/> at the last solution.</summary>
    public RectifierSlopes<double> Differentiate()
    {
        Span<double> columns = stackalloc double[2 * ColumnCount];
        Sweep(_startVolts, Amps, ColumnCount, columns);
        Span<double> slopes = stackalloc double[ColumnCount];
        for (var k = 2; k < ColumnCount; k++)
        {
            slopes[k] = StateSlopes(columns, k).Amps;
        }
        return Arrange<double>(slopes, slopes[5] / 2);
    }

    // How start volts and amperes follow an input.
    private static (double Start, double Amps) StateSlopes(ReadOnlySpan<double> columns, int input)
    {
        var (a, b) = (columns[0], columns[1]);
        var (c, d) = (columns[ColumnCount], columns[ColumnCount + 1]);
        var (miss, average) = (columns[input], columns[ColumnCount + input]);
        var determinant = a * d - b * c;
        return ((b * average - d * miss) / determinant, (c * miss - a * average) / determinant);
    }

    // Where half a period stands for the whole, each rectifier has half of what the one that was followed does.
    private RectifierSlopes<T> Arrange<T>(ReadOnlySpan<T> slopes, T half) =>
        new(
            slopes[2],
            slopes[3],
            slopes[4],
            IsSymmetric ? half : slopes[5],
            IsSymmetric ? half : slopes[6],
            slopes[7],
            slopes[8]
        );

    // The current if the reservoir's voltage stood still: where to begin.
    private double RippleFreeAmps()
    {
        var sum = 0.0;
        for (var i = 1; i < 2 * _steps; i += 2)
        {
            var (drive, factor) = Drive(i);
            var start = double.PositiveInfinity;
            sum +=
                factor > 0
                    ? _path.Amps(drive - _input.Volts, _input.Ohms, factor, ref start, out _, out _)
                    : 0;
        }
        return Math.Max(sum, 0) / _steps;
    }

    // Volts that drive the conducting path at a stage, and its rectifier's factor.
    private (double Volts, double Factor) Drive(int stage)
    {
        var volts = _sine[stage] * _input.Secondary;
        return _sine[stage] >= 0 ? (volts, _input.First)
            : _isHalfWave ? (0, 0)
            : (-volts, _input.Second);
    }
}
