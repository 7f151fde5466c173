using System.Globalization;
using System.Text;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;
using NetAudit.Reference.Hypotheses;

namespace NetAudit.Benchmarks.Convergence;

/// <summary><c>convergence</c>: every single-fault hypothesis of every sample and a thousand random pairs of each must settle.</summary>
internal static class ConvergenceCommand
{
    public static int Run(Options options)
    {
        var pairs = options.Count("pairs", 1000);
        var table = new StringBuilder();
        var failures = new StringBuilder();
        var failed = 0;
        foreach (
            var path in Directory.GetFiles(options.Samples, "*.cir").Order(StringComparer.Ordinal)
        )
        {
            var name = Path.GetFileNameWithoutExtension(path);
            var sweep = new HypothesisSweep(AmplifierReader.Read(path).Amplifier!);
            var singles = sweep.Singles();
            var count = sweep.Solved;
            var doubles = sweep.Pairs(pairs, seed: 1);
            table.AppendLine(
                CultureInfo.InvariantCulture,
                $"| {name} | {count} | {singles.Length} | {sweep.Solved - count} | {doubles.Length} |"
            );
            foreach (var failure in singles.Concat(doubles))
            {
                failures.AppendLine(CultureInfo.InvariantCulture, $"* {name}: {failure}");
            }
            failed += singles.Length + doubles.Length;
        }
        var section = $"""
            ## Convergence (`convergence`)

            Hypotheses of the fault catalogue, every value of every grid and the ends of its range, started from the healthy solution.

            | circuit | single hypotheses | not settled | random pairs | not settled |
            | --- | --- | --- | --- | --- |
            {table}
            {failures}
            """;
        FiguresFile.Write(options.Output, "convergence", section);
        Console.WriteLine(section);
        return failed == 0 ? 0 : 1;
    }
}
