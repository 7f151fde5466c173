using NetAudit.Benchmarks.Accuracy;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Reference.Units;

namespace NetAudit.Benchmarks.Speed;

/// <summary>Whole answers to the readings of generated units with one fault, all DC points read.</summary>
internal static class DiagnosisTimings
{
    private const int Units = 5;

    /// <summary>Median seconds of an answer with sets of up to 1, 2 and 3 faults.</summary>
    public static double[] Answers(Amplifier amplifier)
    {
        var generator = new UnitGenerator(amplifier, seed: 3, healthyUnits: 8);
        var random = new Random(3);
        var (diagnoser, problem) = Diagnoser.Prepare(amplifier);
        if (diagnoser is null)
        {
            throw new InvalidOperationException(problem?.Message);
        }
        Reading[][] units =
        [
            .. Enumerable
                .Range(0, Units)
                .Select(_ => UnitReadings.Csv(amplifier, generator.Faulty(1, random)))
                .Select(csv =>
                    ReadingsFile.ReadText(csv, "unit.csv", amplifier).Readings.ToArray()
                ),
        ];
        return
        [
            .. Enumerable
                .Range(1, 3)
                .Select(faults =>
                {
                    var options = new DiagnosisOptions { MaxFaults = faults };
                    var next = 0;
                    void Once() => diagnoser.Diagnose(units[next++ % Units], options);
                    Once();
                    return Machine.MedianMilliseconds(Units, Once) / 1000;
                }),
        ];
    }
}
