using System.Globalization;
using System.Text;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>
/// <c>accuracy</c>: scores the diagnosis on generated units that ngspice simulated. <c>--keep FOLDER</c> writes the readings of every unit
/// that was judged wrongly, for <c>netaudit diagnose</c>.
/// </summary>
internal static class AccuracyCommand
{
    private static readonly string[] Names = ["healthy", "one fault", "two faults", "three faults"];

    public static int Run(Options options)
    {
        var seed = options.Count("seed", 1);
        var evidence = options.Text("evidence", "dc");
        int[] counts =
        [
            options.Count("healthy", 200),
            options.Count("singles", 100),
            options.Count("pairs", 50),
            options.Count("triples", 30),
        ];
        var table = new StringBuilder();
        var misses = new StringBuilder();
        var all = new List<Score>();
        foreach (
            var path in Directory
                .GetFiles(options.Samples, options.Text("circuits", "*") + ".cir")
                .Order(StringComparer.Ordinal)
        )
        {
            var name = Path.GetFileNameWithoutExtension(path);
            var amplifier =
                AmplifierReader.Read(path).Amplifier
                ?? throw new InvalidOperationException($"{path} cannot be read");
            var run = new AccuracyRun(amplifier, seed, evidence);
            for (var faults = 0; faults < counts.Length; faults++)
            {
                if (counts[faults] == 0)
                {
                    continue;
                }
                var random = new Random(seed * 1000 + faults);
                Score[] scores =
                [
                    .. Enumerable.Range(0, counts[faults]).Select(_ => run.Judge(faults, random)),
                ];
                all.AddRange(scores);
                var row = Row(name, Names[faults], scores);
                table.AppendLine(row);
                Console.WriteLine(row);
                foreach (var (number, miss) in scores.Index().Where(s => s.Item.Miss is not null))
                {
                    misses.AppendLine(CultureInfo.InvariantCulture, $"* {name}: {miss.Miss}");
                    Console.WriteLine($"    {number}: {miss.Miss}");
                    if (options.Text("keep", "") is { Length: > 0 } folder)
                    {
                        Directory.CreateDirectory(folder);
                        var file = Path.Combine(folder, $"{name}-{faults}-{number}.csv");
                        File.WriteAllText(file, miss.Readings);
                    }
                }
            }
            misses.AppendLine(
                CultureInfo.InvariantCulture,
                $"* {name}: {run.Dropped} draws dropped, ngspice found no operating point"
            );
        }
        for (var faults = 0; faults < counts.Length; faults++)
        {
            Score[] scores = [.. all.Where(s => s.Faults == faults)];
            if (scores.Length > 0)
            {
                table.AppendLine(Row("**all**", Names[faults], scores));
            }
        }
        FiguresFile.Write(
            options.Output,
            evidence == "dc" ? "accuracy" : $"accuracy-{evidence}",
            Section(seed, evidence, table, misses, all)
        );
        return 0;
    }

    private static string Section(
        int seed,
        string evidence,
        StringBuilder table,
        StringBuilder misses,
        List<Score> all
    )
    {
        Score[] faulty = [.. all.Where(s => s.Faults > 0)];
        var brier =
            faulty.Length == 0
                ? double.NaN
                : faulty.Average(s => Math.Pow(s.Probability - (s.First ? 1 : 0), 2));
        return $"""
            ## Accuracy (`accuracy --evidence {evidence} --seed {seed}`)

            Units made from a seed and simulated by ngspice: parts within tolerance, tubes with their spread, wall voltage, meter gain error
            and counts, the meter's load at each point. Every fault moves some reading of a nominal unit by three standard deviations, alone and beside the others.
            {Read(evidence)} A suspect is right when its set of parts, or that of one of its equivalents, is the set of parts at
            fault; strictly right when pin and mode are right too. {Machine.Description}

            | circuit | units | count | right first | in first three | strict | equivalents | largest deviation | fault dictionary | mean s |
            | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
            {table}
            For healthy units "right" means that no fault is claimed. Brier score of the first suspect over all faulty units:
            {Machine.Number(
                brier,
                "0.0000"
            )}. Highest probability given to a suspect of a healthy unit:
            {Machine.Number(
                all.Where(s => s.Faults == 0).Select(s => s.Probability).DefaultIfEmpty(0).Max(),
                "0.0000"
            )}.

            ### Every miss

            {misses}
            """;
    }

    private static string Read(string evidence) =>
        evidence switch
        {
            "ac" => "All points are read, volts DC and level of the test signal.",
            "ohms" => "All points are read, volts DC and ohms with the mains off.",
            "all" =>
                "All points are read, volts DC, level of the test signal and ohms with the mains off; a few also in standby, at 85 V of mains, with a tube swapped, and levels with the signal fed in elsewhere.",
            _ => "All DC points are read.",
        };

    private static string Row(string circuit, string kind, Score[] scores)
    {
        string Share(Func<Score, bool> good) =>
            Machine.Number(100.0 * scores.Count(good) / scores.Length, "0.0") + " %";
        var faulty = scores[0].Faults > 0;
        return $"| {circuit} | {kind} | {scores.Length} | {Share(s => s.First)} | {(faulty ? Share(s => s.FirstThree) : "")} | {(faulty ? Share(s => s.Strict) : "")} | {(faulty ? Machine.Number(scores.Average(s => s.Equivalents), "0.0") : "")} | {Share(s => s.LargestDeviation)} | {Share(s => s.Dictionary)} | {Machine.Number(scores.Average(s => s.Seconds), "0.000")} |";
    }
}
