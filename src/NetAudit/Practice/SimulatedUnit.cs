using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Observations;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Practice;

/// <summary>
/// A unit with drawn spreads and faults on which any reading can be taken, by our own solver. What is drawn depends on the seed and on what
/// it is drawn for, never on the order in which readings are taken. Not thread-safe.
/// </summary>
internal sealed class SimulatedUnit(
    HealthyUnit healthy,
    FaultSet faults,
    double[] logValues,
    int seed
)
{
    /// <summary>What is wrong with it.</summary>
    public FaultSet Faults => faults;

    /// <summary>The faults with their values.</summary>
    public IEnumerable<Fault> Named =>
        faults.Members.Select((member, i) => SuspectNames.Primary(member, Math.Exp(logValues[i])));

    /// <summary>The same unit with some of its faults mended.</summary>
    /// <param name="mended">The faults, members of <see cref="Faults"/>.</param>
    public SimulatedUnit Mended(IReadOnlyCollection<FaultClass> mended)
    {
        double[] left = [.. logValues.Where((_, i) => !mended.Contains(faults.Members[i]))];
        var rest = mended.Aggregate(faults, (set, fault) => set.Without(fault));
        return new(healthy, left.Length == 0 ? FaultSet.Healthy : rest, left, seed);
    }

    /// <summary>Takes a reading: a value with the meter's errors, or a word; null when nothing can be said.</summary>
    public Reading? Take(Reading reading)
    {
        if (healthy.Scenes.Find(reading.Condition).Scene is not { } scene)
        {
            return null;
        }
        return reading.Kind == ReadingKind.Listen ? Listen(reading, scene)
            : reading.IsMeasured ? Measure(reading, scene)
            : null;
    }

    /// <summary>Whether the faults move some voltage or level by three standard deviations of healthy units.</summary>
    public bool IsVisible(IReadOnlyList<(Row Row, double Expected, double Sigma)> points)
    {
        var scene = healthy.Scenes.Normal;
        return points.Any(point =>
            Place(scene, point.Row) is { } place
            && Math.Abs(place - point.Expected) > 3 * point.Sigma
        );
    }

    private Reading? Measure(Reading reading, Scene scene)
    {
        var row = Row.Of(healthy.Meter, reading.Kind, reading.Node, reading.RefNode, 0);
        if (Place(scene, row) is not { } place)
        {
            return null;
        }
        var accuracy = healthy.Meter.AccuracyOf(reading.Kind);
        var value = RowScale.Value(row, place);
        if (!double.IsFinite(value) || value > RowScale.MostOhms)
        {
            return reading with { Value = double.PositiveInfinity };
        }
        value *= 1 + accuracy.OfReading * Uniform($"gain {reading.Kind}");
        var step = accuracy.CountSize(value);
        value += accuracy.Counts * step * Uniform($"counts {PlaceOf(reading)}");
        value = Math.Round(value / step) * step;
        return reading with { Value = reading.Kind == ReadingKind.Dc ? value : Math.Max(0, value) };
    }

    private Reading? Listen(Reading reading, Scene scene)
    {
        if (healthy.Loudspeaker < 0)
        {
            return null;
        }
        var level = healthy.LevelIn(scene, healthy.Loudspeaker, CancellationToken.None);
        var row = Row.Heard(healthy.Loudspeaker, RowScale.NoiseFloor);
        if (!(level > RowScale.NoiseFloor) || Place(scene, row) is not { } place)
        {
            return null;
        }
        // An ear hears 3 dB; the words part where the table of words puts the middle between them.
        var ear = Math.Exp(0.35 * Uniform($"ear {reading.Condition}"));
        var heard = RowScale.Value(row, place) / level * ear;
        string[] words = ["none", "weak", "normal"];
        var word = words.MinBy(w =>
        {
            var (floor, middle, _) = HeardLevels.Of(w, level)!.Value;
            return Math.Abs(Math.Asinh(heard * level / floor) - middle);
        });
        return reading with { Word = word };
    }

    private double? Place(Scene scene, Row row)
    {
        var circuit = healthy.Circuit(scene, [row]);
        var predictor = circuit.Predictor;
        var drawn = new double[predictor.Deviations];
        for (var term = 0; term < predictor.Terms; term++)
        {
            drawn[term] = Normal(predictor.TermNames[term]);
        }
        var start = healthy.VoltsIn(scene, CancellationToken.None);
        if (
            start is null
            || !circuit.Solve(faults, logValues, drawn, start, CancellationToken.None)
        )
        {
            return null;
        }
        predictor.ReadMean();
        return double.IsNaN(predictor.Mean[0]) ? null : predictor.Mean[0];
    }

    private static string PlaceOf(Reading reading) =>
        $"{reading.Kind} {reading.Node} {reading.RefNode} {reading.Condition}";

    private double Uniform(string what) => 2 * Generator(what).NextDouble() - 1;

    private double Normal(string what)
    {
        var random = Generator(what);
        return Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()))
            * Math.Cos(2 * Math.PI * random.NextDouble());
    }

    // A generator of its own for each thing that is drawn. The hash is FNV-1a: the same on every machine and in every run.
    private Random Generator(string what)
    {
        var hash = unchecked(2166136261u ^ (uint)seed);
        foreach (var c in what)
        {
            hash = unchecked((hash ^ c) * 16777619u);
        }
        return new Random((int)hash);
    }
}
