using NetAudit.Benchmarks.Accuracy;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Diagnosis.Observations;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Reference.Units;

namespace NetAudit.Benchmarks.Speed;

/// <summary>Answers to the readings of generated units with one fault, all DC points read.</summary>
internal sealed class DiagnosisTimings
{
    private const int Units = 5;
    private const int Repeats = 3;

    private readonly Diagnoser _diagnoser;
    private readonly Reading[][] _units;

    public DiagnosisTimings(Amplifier amplifier)
    {
        var (diagnoser, problem) = Diagnoser.Prepare(amplifier);
        _diagnoser = diagnoser ?? throw new InvalidOperationException(problem?.Message);
        var generator = new UnitGenerator(amplifier, seed: 3, healthyUnits: 8);
        var random = new Random(3);
        _units =
        [
            .. Enumerable
                .Range(0, Units)
                .Select(_ => UnitReadings.Csv(amplifier, generator.Faulty(1, random)))
                .Select(csv =>
                    ReadingsFile.ReadText(csv, "unit.csv", amplifier).Readings.ToArray()
                ),
        ];
    }

    /// <summary>
    /// Median seconds to weigh every single fault of the catalogue at every value of its grid, with its own covariance, and how many that
    /// are.
    /// </summary>
    public (double Seconds, int Hypotheses) Ranking()
    {
        var healthy = _diagnoser.Healthy;
        var selection = ReadingSelection.Of(_units[0], healthy, CancellationToken.None);
        double[] start =
        [
            .. selection.Groups.SelectMany(g =>
                healthy.VoltsIn(g.Scene, CancellationToken.None) ?? []
            ),
        ];
        var evaluator = new SetEvaluator(
            new Predictor(selection.Groups, healthy.Spread, healthy.Meter),
            new ReadingEvidence(selection.Weighed, Testimony.HealthyLogOdds(null))
        );
        (FaultSet Set, double[] Values)[] hypotheses =
        [
            .. _diagnoser.Catalogue.Classes.SelectMany(fault =>
                fault.Range.Grid.Select(value => (FaultSet.Of(fault), new[] { value }))
            ),
        ];
        var scores = new double?[hypotheses.Length];
        void Once()
        {
            for (var i = 0; i < hypotheses.Length; i++)
            {
                var (set, values) = hypotheses[i];
                scores[i] = evaluator.Screen(set, values, [], [], start, CancellationToken.None);
            }
            Array.Sort(scores);
        }
        Machine.WarmUp(Once);
        return (Machine.MedianMilliseconds(Repeats * Units, Once) / 1000, hypotheses.Length);
    }

    /// <summary>Median seconds of a whole answer with sets of up to so many faults.</summary>
    public double Answer(int faults)
    {
        var options = new DiagnosisOptions { MaxFaults = faults };
        var next = 0;
        void Once() => _diagnoser.Diagnose(_units[next++ % Units], options);
        Machine.WarmUp(Once);
        return Machine.MedianMilliseconds(Repeats * Units, Once) / 1000;
    }
}
