using System.Numerics;

namespace NetAudit.Simulation.Supplies;

// Derivatives of the current's harmonics, for ripple that goes down the rails.
internal sealed partial class RectifierSteadyState
{
    private double[]? _stageSlopes;

    /// <summary>Derivatives of <see cref="HarmonicAmps"/> at the last solution.</summary>
    public RectifierSlopes<Complex> DifferentiateHarmonic(int multiple)
    {
        _stageSlopes ??= new double[_sine.Length * ColumnCount];
        Span<double> columns = stackalloc double[2 * ColumnCount];
        Sweep(_startVolts, Amps, ColumnCount, columns, _stageSlopes);
        Span<Complex> byColumn = stackalloc Complex[ColumnCount];
        byColumn.Clear();
        if (IsSymmetric && multiple % 2 == 1)
        {
            return Arrange<Complex>(byColumn, 0);
        }
        for (var i = 0; i < Stages; i++)
        {
            var phase = Weight(i) * Phase(i, multiple);
            for (var k = 0; k < ColumnCount; k++)
            {
                byColumn[k] += phase * _stageSlopes[i * ColumnCount + k];
            }
        }
        var scale = Complex.ImaginaryOne * Math.Sqrt(2) / _steps;
        for (var k = 2; k < ColumnCount; k++)
        {
            var (start, amps) = StateSlopes(columns, k);
            byColumn[k] = scale * (byColumn[k] + start * byColumn[0] + amps * byColumn[1]);
        }
        return Arrange<Complex>(byColumn, byColumn[5] / 2);
    }

    private Complex Harmonic(double[] values, int multiple)
    {
        if (IsSymmetric && multiple % 2 == 1)
        {
            return Complex.Zero;
        }
        var sum = Complex.Zero;
        for (var i = 0; i < Stages; i++)
        {
            sum += Weight(i) * values[i] * Phase(i, multiple);
        }
        // sin = Re(-j e^jwt): the reference is a sine, so the phasor turns by +90 degrees.
        return Complex.ImaginaryOne * Math.Sqrt(2) * sum / _steps;
    }

    private Complex Phase(int stage, int multiple)
    {
        var step = stage / 2 + (stage % 2 == 0 ? Gamma : 1);
        return Complex.FromPolarCoordinates(1, -Math.PI * multiple * step / _halfSteps);
    }
}
