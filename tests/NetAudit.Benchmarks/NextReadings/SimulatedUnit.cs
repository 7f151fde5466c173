using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Observations;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Benchmarks.NextReadings;

/// <summary>
/// A unit with drawn spreads and faults on which any reading can be taken: by our own solver, whose agreement with ngspice is measured
/// elsewhere, since the readings are not known beforehand.
/// </summary>
internal sealed class SimulatedUnit(
    HealthyUnit healthy,
    FaultSet faults,
    double[] logValues,
    Dictionary<string, double> amounts,
    Random random
)
{
    private readonly double[] gains = [Uniform(random), Uniform(random), Uniform(random)];

    /// <summary>What is wrong with it.</summary>
    public FaultSet Faults => faults;

    /// <summary>Takes a reading: a value with the meter's errors, or a word; null when the unit does not settle.</summary>
    public Reading? Take(Reading reading)
    {
        var (scene, _) = healthy.Scenes.Find(reading.Condition);
        return reading.Kind == ReadingKind.Listen
            ? Listen(reading, scene!)
            : Measure(reading, scene!);
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
        value *= 1 + accuracy.OfReading * gains[(int)reading.Kind];
        var step = accuracy.CountSize(value);
        value += accuracy.Counts * step * Uniform(random);
        value = Math.Round(value / step) * step;
        return reading with { Value = reading.Kind == ReadingKind.Dc ? value : Math.Max(0, value) };
    }

    private Reading? Listen(Reading reading, Scene scene)
    {
        var level = healthy.LevelIn(scene, healthy.Loudspeaker, CancellationToken.None);
        var row = Row.Heard(healthy.Loudspeaker, RowScale.NoiseFloor);
        if (Place(scene, row) is not { } place)
        {
            return null;
        }
        // An ear hears 3 dB; the words part where the table of words puts the middle between them.
        var heard = RowScale.Value(row, place) / level * Math.Exp(0.35 * Uniform(random));
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
            var name = predictor.TermNames[term];
            if (!amounts.TryGetValue(name, out drawn[term]))
            {
                amounts.Add(name, drawn[term] = Normal(random));
            }
        }
        var start = healthy.VoltsIn(scene, CancellationToken.None);
        if (!circuit.Solve(faults, logValues, drawn, start, CancellationToken.None))
        {
            return null;
        }
        predictor.ReadMean();
        return double.IsNaN(predictor.Mean[0]) ? null : predictor.Mean[0];
    }

    private static double Uniform(Random random) => 2 * random.NextDouble() - 1;

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()))
        * Math.Cos(2 * Math.PI * random.NextDouble());
}
