using System.Globalization;
using System.Text;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Practice;

namespace NetAudit.Benchmarks.NextReadings;

/// <summary><c>next</c>: how many readings it takes from the complaint to a probable suspect, by three strategies.</summary>
internal static class NextReadingsCommand
{
    private const int First = 3;
    private const int MostReadings = 40;
    private const double Probable = 0.9;

    private static readonly (
        string Name,
        Func<Amplifier, DiagnosisResult, string?> Choose
    )[] Ways =
    [
        ("proposed", Strategies.Proposed),
        ("half-split", Strategies.HalfSplit),
        ("largest deviation", Strategies.LargestDeviation),
    ];

    public static int Run(Options options)
    {
        var seed = options.Count("seed", 1);
        int[] counts = [options.Count("singles", 40), options.Count("pairs", 20)];
        var text = new StringBuilder();
        foreach (
            var path in Directory
                .GetFiles(options.Samples, options.Text("circuits", "*") + ".cir")
                .Order(StringComparer.Ordinal)
        )
        {
            var bench = SimulatedBench.Prepare(AmplifierReader.Read(path).Amplifier!).Bench!;
            for (var faults = 1; faults <= counts.Length; faults++)
            {
                foreach (var (name, choose) in Ways)
                {
                    var random = new Random(seed * 1000 + faults);
                    Outcome[] outcomes =
                    [
                        .. Enumerable
                            .Range(0, counts[faults - 1])
                            .Select(_ => Find(bench, choose, faults, random, name == "proposed")),
                    ];
                    if (outcomes.Length == 0)
                    {
                        continue;
                    }
                    var row = Row(Path.GetFileNameWithoutExtension(path), faults, name, outcomes);
                    text.AppendLine(row);
                    Console.WriteLine(row);
                }
            }
        }
        FiguresFile.Write(options.Output, "next", Section(seed, text));
        return 0;
    }

    private static Outcome Find(
        SimulatedBench bench,
        Func<Amplifier, DiagnosisResult, string?> choose,
        int faults,
        Random random,
        bool report
    )
    {
        var unit = bench.Draw(faults, new Random(random.Next()));
        var options = new DiagnosisOptions
        {
            Complaint = bench.Complaint(unit, random),
            WithNext = true,
            MaxFaults = 3,
        };
        var readings = new List<Reading>();
        var result = bench.Diagnoser.Diagnose(readings, options);
        while (readings.Count < MostReadings)
        {
            var isFirst = readings.Count < First;
            var line = isFirst
                ? Strategies.Proposed(bench.Amplifier, result)
                : choose(bench.Amplifier, result);
            if (line is null || Take(bench, unit, line) is not { } reading)
            {
                break;
            }
            readings.Add(reading);
            result = bench.Diagnoser.Diagnose(readings, options);
            if (
                readings.Count >= First
                && (
                    result.Healthy > Probable
                    || result.Suspects is [{ Probability: > Probable }, ..]
                )
            )
            {
                break;
            }
        }
        var sure =
            result.Healthy > Probable || result.Suspects is [{ Probability: > Probable }, ..];
        var right = result.Suspects is [var first, ..] && IsRight(bench, first, unit);
        if (report && (!right || !sure))
        {
            var truth = string.Join(
                " + ",
                unit.Faults.Members.Select(m => m.Identities[0].Fault.Describe())
            );
            var named = result.Suspects is [var leading, ..]
                ? $"{VerdictWords.Faults(leading.Faults)} {leading.Probability:0.00}"
                : "nothing";
            Console.WriteLine(
                $"    {truth} ({options.Complaint}): {named} after {readings.Count}: {string.Join(", ", readings.Select(r => $"{r.At} {r.Kind} {r.Condition}"))}"
            );
        }
        return new(readings.Count - First, sure, right);
    }

    private static Reading? Take(SimulatedBench bench, SimulatedUnit unit, string line)
    {
        var at = line.IndexOf('@', StringComparison.Ordinal);
        var value = line.Contains(" Listen", StringComparison.Ordinal) ? " normal " : " 1 ";
        var typed = TypedReading.Read(
            at < 0 ? line + value : line.Insert(at, value),
            bench.Amplifier
        );
        return typed.Readings is [var reading] ? unit.Take(reading) : null;
    }

    private static bool IsRight(SimulatedBench bench, Suspect suspect, SimulatedUnit unit)
    {
        string PartOf(string name) => bench.Amplifier.FindPart(name)?.Name ?? name;
        return suspect
            .Equivalents.Prepend(suspect.Faults)
            .Any(set =>
                set.Length == unit.Faults.Members.Length
                && unit.Faults.Members.All(m =>
                    set.Any(f => m.Parts.Select(PartOf).Contains(PartOf(f.Part)))
                )
            );
    }

    private static string Row(string circuit, int faults, string way, Outcome[] outcomes)
    {
        var ordered = outcomes.Select(o => o.IsSure ? o.Readings : MostReadings).Order().ToArray();
        double Share(Func<Outcome, bool> of) => 100.0 * outcomes.Count(of) / outcomes.Length;
        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {circuit} | {faults} | {way} | {outcomes.Length} | {ordered[ordered.Length / 2]} | {ordered[ordered.Length * 9 / 10]} | {Share(o => o.IsSure):0} % | {Share(o => o.IsRight):0.0} % |"
        );
    }

    private static string Section(int seed, StringBuilder rows) =>
        $"""
            ## Next reading (`next --seed {seed}`)

            Units with drawn spreads, a complaint drawn by its likelihood, and three first readings that the program proposes; then readings one
            after another until one suspect, with what nothing tells from it, has more than {Probable:0.0}. Readings are counted after the first three. Units
            are simulated by our own solver. Right: the first suspect at the end holds the right parts.

            | circuit | faults | strategy | units | median readings | nine in ten | probable suspect | right first |
            | --- | --- | --- | --- | --- | --- | --- | --- |
            {rows}
            """;

    private readonly record struct Outcome(int Readings, bool IsSure, bool IsRight);
}
