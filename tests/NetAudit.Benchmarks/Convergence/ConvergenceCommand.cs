using System.Globalization;
using System.Text;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;
using NetAudit.Reference.Hypotheses;

namespace NetAudit.Benchmarks.Convergence;

/// <summary>
/// <c>convergence</c>: every single-fault hypothesis of every sample, with ideal sources and with its supply, in every condition, and a
/// thousand random pairs of each must settle and give every reading.
/// </summary>
internal static class ConvergenceCommand
{
    public static int Run(Options options)
    {
        var pairs = options.Count("pairs", 1000);
        var table = new StringBuilder();
        var failures = new StringBuilder();
        var failed = 0;
        foreach (var (name, amplifier) in Samples(options))
        {
            var conditions = SweptConditions.Of(amplifier);
            var (hypotheses, unsettled) = (0, 0);
            foreach (var condition in conditions)
            {
                var sweep = new HypothesisSweep(amplifier, condition);
                var singles = sweep.Singles();
                hypotheses += sweep.Solved;
                unsettled += singles.Length;
                Add(failures, $"{name}, {condition}", singles);
            }
            var normal = new HypothesisSweep(amplifier);
            var doubles = normal.Pairs(pairs, seed: 1);
            Add(failures, name, doubles);
            var row = string.Create(
                CultureInfo.InvariantCulture,
                $"| {name} | {conditions.Length} | {hypotheses} | {unsettled} | {normal.Solved} | {doubles.Length} |"
            );
            table.AppendLine(row);
            Console.WriteLine(row);
            failed += unsettled + doubles.Length;
        }
        var section = $"""
            ## Convergence (`convergence`)

            Hypotheses of the fault catalogue, every value of every grid and the ends of its range, started from the healthy solution, in every
            condition: powered normally, with the power off, every switch position, low mains, every control turned down, every tube pulled and
            swapped, no test signal (ripple), the signal fed in at every stage. A hypothesis that settles but gives no volts, level or ohms somewhere
            counts as not settled. Random pairs: powered normally.

            | circuit | conditions | single hypotheses | not settled | random pairs | not settled |
            | --- | --- | --- | --- | --- | --- |
            {table}
            {failures}
            """;
        FiguresFile.Write(options.Output, "convergence", section);
        return failed == 0 ? 0 : 1;
    }

    // Every netlist with its own sheet, and with the sheet that gives its supply by the parts.
    private static IEnumerable<(string Name, Amplifier Amplifier)> Samples(Options options)
    {
        var pattern = options.Text("circuits", "*") + ".cir";
        foreach (
            var path in Directory.GetFiles(options.Samples, pattern).Order(StringComparer.Ordinal)
        )
        {
            var name = Path.GetFileNameWithoutExtension(path);
            yield return (name, AmplifierReader.Read(path).Amplifier!);
            var sheet = Path.Combine(options.Samples, $"{name}-supply.sheet.toml");
            if (File.Exists(sheet))
            {
                yield return ($"{name}, supply", AmplifierReader.Read(path, sheet).Amplifier!);
            }
        }
    }

    private static void Add(StringBuilder failures, string where, IEnumerable<string> names)
    {
        foreach (var name in names)
        {
            failures.AppendLine(CultureInfo.InvariantCulture, $"* {where}: {name}");
        }
    }
}
