using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>
/// <c>accuracy</c>: scores the diagnosis on generated units that ngspice simulated. <c>--scores FILE</c> adds every unit to a file as it is
/// judged, and the figures are those of the whole file; <c>--keep FOLDER</c> writes the readings of every unit that was judged wrongly,
/// for <c>netaudit diagnose</c>.
/// </summary>
internal static class AccuracyCommand
{
    public static int Run(Options options)
    {
        var evidence = options.Text("evidence", "dc");
        var scores = options.Text("scores", "");
        var rows = new List<ScoreRow>();
        foreach (
            var path in Directory
                .GetFiles(options.Samples, options.Text("circuits", "*") + ".cir")
                .Order(StringComparer.Ordinal)
        )
        {
            foreach (var row in Judge(path, evidence, options))
            {
                rows.Add(row);
                if (scores.Length > 0)
                {
                    row.AppendTo(scores);
                }
            }
        }
        FiguresFile.Write(
            options.Output,
            evidence == "dc" ? "accuracy" : $"accuracy-{evidence}",
            AccuracySection.Of(
                evidence,
                scores.Length > 0
                    ? [.. ScoreRow.ReadAll(scores).Where(r => r.Evidence == evidence)]
                    : rows
            )
        );
        return 0;
    }

    private static IEnumerable<ScoreRow> Judge(string path, string evidence, Options options)
    {
        int[] counts =
        [
            options.Count("healthy", 200),
            options.Count("singles", 100),
            options.Count("pairs", 50),
            options.Count("triples", 30),
        ];
        var seed = options.Count("seed", 1);
        var name = Path.GetFileNameWithoutExtension(path);
        var amplifier =
            AmplifierReader.Read(path).Amplifier
            ?? throw new InvalidOperationException($"{path} cannot be read");
        var run = new AccuracyRun(amplifier, seed, evidence);
        for (var faults = 0; faults < counts.Length; faults++)
        {
            var random = new Random(seed * 1000 + faults);
            var judged = new List<ScoreRow>();
            for (var number = 0; number < counts[faults]; number++)
            {
                var score = run.Judge(faults, random);
                judged.Add(new(evidence, name, seed, number, run.Dropped, score));
                if (score.Miss is { } miss)
                {
                    Console.WriteLine($"    {number}: {miss}");
                    Keep(options.Text("keep", ""), $"{name}-{seed}-{faults}-{number}.csv", score);
                }
                yield return judged[^1];
            }
            foreach (var line in AccuracySection.Rows(name, judged))
            {
                Console.WriteLine(line);
            }
        }
    }

    private static void Keep(string folder, string file, Score score)
    {
        if (folder.Length > 0)
        {
            Directory.CreateDirectory(folder);
            File.WriteAllText(Path.Combine(folder, file), score.Readings);
        }
    }
}
