using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>Solves a set with one fault more at each of its grid values. Buffers are reused. Not thread-safe.</summary>
internal sealed class ExtensionSolver
{
    /// <summary>
    /// The coarse errors, as fractions of what is read and of what a healthy unit reads there (common practice, no source): a fault that
    /// leaves less of a rail than this leaves nothing of it.
    /// </summary>
    private const double OfReading = 0.03;
    private const double OfHealthy = 0.01;

    /// <summary>The coarse error of a level or resistance, which are compared by ratio.</summary>
    private const double OfRatio = 0.1;

    private readonly FaultedCircuit _circuit;
    private readonly ReadingEvidence _evidence;
    private readonly double[] _healthy;
    private readonly double[] _state;
    private readonly double[] _logValues = new double[SetEvaluator.MaxMembers + 1];
    private double[] _now;
    private double[] _before;
    private double _baseMisfit;

    /// <param name="predictor">Of its own; rough is exact enough.</param>
    /// <param name="evidence">The readings to be explained.</param>
    /// <param name="healthy">What a healthy unit reads, [readings].</param>
    public ExtensionSolver(Predictor predictor, ReadingEvidence evidence, double[] healthy)
    {
        _circuit = new(predictor);
        _evidence = evidence;
        _healthy = healthy;
        _state = new double[predictor.StateLength];
        _now = new double[predictor.Readings];
        _before = new double[predictor.Readings];
    }

    /// <summary>Solves the base and differentiates there, so that levels near a null are told with its signs.</summary>
    public void Begin(ExtensionBase from, CancellationToken cancellationToken)
    {
        for (var i = 0; i < from.Values.Length; i++)
        {
            _logValues[i] = Math.Log(from.Values[i]);
        }
        var amounts = from.Amounts.AsSpan();
        if (!_circuit.Solve(from.Set, _logValues, amounts, from.Volts, cancellationToken))
        {
            _baseMisfit = double.NaN;
            return;
        }
        _circuit.Predictor.Read(_circuit.Edits);
        _evidence.Measured.CopyTo(_now);
        DenseRows.AddScaled(_circuit.Predictor.Mean, -1, _now);
        from.Whiten(_now);
        _baseMisfit = DenseRows.Dot(_now, _now);
    }

    /// <summary>
    /// The extension at the value where it comes nearest to the readings, by the base's covariance and by a coarse one; and how far the
    /// readings leave room for it.
    /// </summary>
    public SolvedExtension Solve(
        ExtensionBase from,
        FaultSet larger,
        FaultClass extra,
        int stride,
        CancellationToken cancellationToken
    )
    {
        var grid = extra.Range.Grid;
        var (fine, fineAt) = (double.PositiveInfinity, grid[0]);
        var (coarse, coarseAt) = (double.PositiveInfinity, grid[0]);
        var (most, mostAt, sum, settled) = (0.0, grid[0], 0.0, 0);
        var added = larger.Members.IndexOf(extra);
        for (var i = 0; i < larger.Members.Length; i++)
        {
            _logValues[i] = i == added ? 0 : Math.Log(from.Values[i > added ? i - 1 : i]);
        }
        var hasBefore = false;
        for (var step = 0; step < grid.Length; step += stride)
        {
            _logValues[added] = Math.Log(grid[step]);
            // The next value of a grid does about the same.
            var start = hasBefore ? _state : from.Volts;
            var amounts = from.Amounts.AsSpan();
            if (!_circuit.Solve(larger, _logValues, amounts, start, cancellationToken))
            {
                hasBefore = false;
                continue;
            }
            _circuit.Predictor.CopyState(_state);
            _circuit.Predictor.ReadMean();
            var rough = Coarse();
            if (rough < coarse)
            {
                (coarse, coarseAt) = (rough, grid[step]);
            }
            _evidence.Measured.CopyTo(_now);
            DenseRows.AddScaled(_circuit.Predictor.Mean, -1, _now);
            from.Whiten(_now);
            var here = DenseRows.Dot(_now, _now);
            // What the readings ask for is a suspect of its own.
            var room = Math.Exp(-0.5 * Math.Max(0, here - _baseMisfit));
            sum += room;
            settled++;
            if (room > most)
            {
                (most, mostAt) = (room, grid[step]);
            }
            var (misfit, share) = hasBefore ? Between(here) : (here, 0);
            if (misfit < fine)
            {
                var previous = hasBefore ? grid[step - stride] : grid[step];
                (fine, fineAt) = (misfit, grid[step] * Math.Pow(previous / grid[step], share));
            }
            (_now, _before) = (_before, _now);
            hasBefore = true;
        }
        var prior = extra.LogWeight;
        return new(
            extra,
            new(fineAt, prior - 0.5 * fine),
            new(coarseAt, prior - 0.5 * coarse),
            // What never settled is not known to be excluded.
            new(mostAt, settled == 0 ? 1 : sum / settled)
        );
    }

    /// <summary>Least misfit between this grid value and the one before, readings taken as going straight from one to the other.</summary>
    private (double Misfit, double Share) Between(double now)
    {
        var before = DenseRows.Dot(_before, _before);
        var both = DenseRows.Dot(_now, _before);
        var apart = now + before - 2 * both;
        var share = apart > 0 ? Math.Clamp((now - both) / apart, 0, 1) : 0;
        return (now - 2 * share * (now - both) + share * share * apart, share);
    }

    /// <summary>A misfit that no single reading can spoil.</summary>
    private double Coarse()
    {
        var mean = _circuit.Predictor.Mean;
        var sum = 0.0;
        for (var i = 0; i < mean.Length; i++)
        {
            var own = _evidence.Own[i];
            var rough =
                _circuit.Predictor.Rows[i].Kind == ReadingKind.Dc
                    ? Math.Abs(OfReading * mean[i]) + Math.Abs(OfHealthy * _healthy[i])
                    : OfRatio;
            var error = _evidence.Measured[i] - mean[i];
            sum += Math.Log(1 + error * error / (own * own + rough * rough));
        }
        return sum;
    }
}
