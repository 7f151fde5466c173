using NetAudit.Diagnosis.Evidence;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Chooses, by the healthy unit's covariance and known effects alone, which single faults deserve an evaluation of their own, and which
/// pairs. All pairs of the more telling faults are looked at: a pair's misfit follows from products of effects.
/// </summary>
internal sealed class SingleSelection
{
    private const int Sweeps = 2;

    private readonly KnownEffects _known;
    private readonly SearchEffort _effort;
    private readonly int _readings;
    private readonly double[] _score;

    public SingleSelection(
        KnownEffects known,
        SetEvaluator healthy,
        SearchEffort effort,
        bool withPairs
    )
    {
        (_known, _effort) = (known, effort);
        _readings = healthy.Predictor.Readings;
        known.Score(healthy);
        _score = [.. known.Faults.Select((f, i) => known.Gains[i] + f.Class.LogWeight)];
        var settled = Enumerable.Range(0, _score.Length).Where(i => known.Settled[i]).ToArray();
        BestPairs = withPairs ? FindPairs(healthy, settled) : [];
        Chosen =
        [
            .. settled
                .Where(IsSeen)
                .OrderByDescending(i => _score[i])
                .Take(_effort.Alone)
                .Concat(
                    settled
                        .Where(i => !IsSeen(i))
                        .OrderByDescending(i => _score[i])
                        .DistinctBy(i => known.Faults[i].Class.Index)
                        .Take(_readings < _effort.FewReadings ? settled.Length : _effort.Unseen)
                )
                .Concat(settled.OrderByDescending(SlipScores(healthy)).Take(_effort.BesideSlip))
                .Concat(BestPairs.SelectMany(p => (int[])[p.First, p.Second]))
                .Distinct()
                .Order(),
        ];
    }

    private bool IsSeen(int fault)
    {
        for (var i = 0; i < _readings; i++)
        {
            if (Math.Abs(_known.Whitened[i * _score.Length + fault]) > 1e-3)
            {
                return true;
            }
        }
        return false;
    }

    /// <summary>Indices of the single faults to evaluate.</summary>
    public int[] Chosen { get; }

    /// <summary>The most promising pairs and their foretold gain over the healthy unit, priors of the two faults included.</summary>
    public (int First, int Second, double Gain)[] BestPairs { get; }

    private Func<int, double> SlipScores(SetEvaluator healthy)
    {
        if (_readings == 0)
        {
            return fault => _score[fault];
        }
        var gaussian = healthy.Gaussian;
        var precision = new double[_readings];
        gaussian.Precisions(precision);
        var rest = new double[_readings];
        var count = _score.Length;
        return fault =>
        {
            for (var i = 0; i < _readings; i++)
            {
                rest[i] =
                    healthy.WhitenedResidual[i]
                    - _known.Amounts[fault] * _known.Whitened[i * count + fault];
            }
            gaussian.SolveTransposed(rest);
            return _score[fault] + 0.5 * GaussianEvidence.LargestSquare(rest, precision);
        };
    }

    private (int First, int Second, double Gain)[] FindPairs(SetEvaluator healthy, int[] settled)
    {
        // A fault that could explain much at some amount, even if not at the amount it has alone.
        var telling = settled.OrderByDescending(Reach).Take(_effort.Paired).Order().ToArray();
        var width = (_readings + 3) / 4 * 4;
        var rows = new double[telling.Length * width];
        var along = new double[telling.Length];
        for (var t = 0; t < telling.Length; t++)
        {
            var row = rows.AsSpan(t * width, _readings);
            for (var i = 0; i < _readings; i++)
            {
                row[i] = _known.Whitened[i * _score.Length + telling[t]];
            }
            along[t] = DenseRows.Dot(row, healthy.WhitenedResidual);
        }
        var products = new double[telling.Length * telling.Length];
        RowProducts.Lower(rows, telling.Length, width, products);
        var best = new PriorityQueue<(int, int, double), double>(_effort.Pairs + 1);
        for (var a = 0; a < telling.Length; a++)
        {
            for (var b = 0; b < a; b++)
            {
                var gain = PairGain(telling, along, products, a, b);
                if (best.Count < _effort.Pairs)
                {
                    best.Enqueue((telling[a], telling[b], gain), gain);
                }
                else if (best.TryPeek(out _, out var least) && gain > least)
                {
                    best.DequeueEnqueue((telling[a], telling[b], gain), gain);
                }
            }
        }
        return
        [
            .. best
                .UnorderedItems.Select(u => u.Element)
                .OrderByDescending(p => p.Item3)
                .ThenBy(p => p.Item1),
        ];

        double Reach(int fault)
        {
            double sum = 0,
                square = 0;
            for (var i = 0; i < _readings; i++)
            {
                var d = _known.Whitened[i * _score.Length + fault];
                sum += healthy.WhitenedResidual[i] * d;
                square += d * d;
            }
            return square > 0 ? sum * sum / square : 0;
        }
    }

    /// <summary>Gain of two effects together, each at its best amount given the other's, the faults' shares included.</summary>
    private double PairGain(int[] telling, double[] along, double[] products, int a, int b)
    {
        var n = telling.Length;
        var (aa, bb, ab) = (products[a * n + a], products[b * n + b], products[a * n + b]);
        var y = _known.Amounts[telling[b]];
        var x = 0.0;
        for (var sweep = 0; sweep < Sweeps; sweep++)
        {
            x = _known.Amount(telling[a], along[a] - y * ab, aa);
            y = _known.Amount(telling[b], along[b] - x * ab, bb);
        }
        var gain = x * along[a] + y * along[b] - 0.5 * (x * x * aa + y * y * bb) - x * y * ab;
        return gain
            + _known.Faults[telling[a]].Class.LogWeight
            + _known.Faults[telling[b]].Class.LogWeight;
    }
}
