using System.Globalization;
using System.Text;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Expectations;
using NetAudit.Practice;

namespace NetAudit.Benchmarks.NextReadings;

/// <summary><c>next</c>: how many readings it takes from the complaint to a probable suspect, by three strategies.</summary>
internal static class NextReadingsCommand
{
    private const int First = 3;
    private const int MostReadings = 40;

    /// <summary>A suspect that stands out.</summary>
    private const double Probable = 0.9;

    /// <summary>A suspect that parts are changed for: of the probable ones up to one in ten is not to blame.</summary>
    private const double Settled = 0.98;

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
        var only = options.Text("strategy", "");
        var ways = Ways.Where(way => only is "" || way.Name == only).ToArray();
        if (ways.Length == 0)
        {
            Console.Error.WriteLine(
                $"--strategy: there is no \"{only}\"; take one of: {string.Join(", ", Ways.Select(way => way.Name))}"
            );
            return 2;
        }
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
                foreach (var (name, choose) in ways)
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

    /// <summary>
    /// Finds the faults of one unit: a set that is settled, or leads when nothing more is worth reading, is mended, and what is left is
    /// measured anew under the same complaint.
    /// </summary>
    private static Outcome Find(
        SimulatedBench bench,
        Func<Amplifier, DiagnosisResult, string?> choose,
        int faults,
        Random random,
        bool report
    )
    {
        var unit = bench.Draw(faults, new Random(random.Next()));
        var complaint = bench.Complaint(unit, random);
        var (taken, all) = (0, 0);
        var sure = true;
        var told = new List<string>();
        while (!unit.Faults.Members.IsEmpty)
        {
            var (readings, toProbable, result) = Measure(bench, unit, complaint, choose);
            taken += toProbable - First;
            all += readings.Count - First;
            told.Add(Story(unit, result, readings));
            sure &= IsAbove(result, Probable);
            var isEnd = IsAbove(result, Probable) || readings.Count < MostReadings;
            var named =
                isEnd && result.Suspects is [var first, ..] ? Found(bench, first, unit) : [];
            if (named.Count == 0)
            {
                if (report)
                {
                    Console.WriteLine($"    ({complaint}) {string.Join("; then ", told)}");
                }
                return new(taken, all, sure, false);
            }
            unit = unit.Mended(named);
        }
        return new(taken, all, sure, true);
    }

    /// <summary>
    /// Reads on until one set of faults is settled, or there is nothing more to read; and how many readings there were when one was
    /// first probable, all when none was.
    /// </summary>
    private static (List<Reading> Readings, int ToProbable, DiagnosisResult Result) Measure(
        SimulatedBench bench,
        SimulatedUnit unit,
        string complaint,
        Func<Amplifier, DiagnosisResult, string?> choose
    )
    {
        var options = new DiagnosisOptions
        {
            Complaint = complaint,
            WithNext = true,
            MaxFaults = 3,
        };
        var readings = new List<Reading>();
        var result = bench.Diagnoser.Diagnose(readings, options);
        int? toProbable = null;
        while (readings.Count < MostReadings)
        {
            if (readings.Count >= First && IsAbove(result, Probable))
            {
                toProbable ??= readings.Count;
            }
            if (readings.Count >= First && IsAbove(result, Settled))
            {
                break;
            }
            var line =
                readings.Count < First
                    ? Strategies.Proposed(bench.Amplifier, result)
                    : choose(bench.Amplifier, result);
            if (line is null || Take(bench, unit, line) is not { } reading)
            {
                break;
            }
            readings.Add(reading);
            var isProposed = readings.Count < First || choose == Strategies.Proposed;
            result = bench.Diagnoser.Diagnose(readings, options with { WithNext = isProposed });
        }
        return (readings, toProbable ?? readings.Count, result);
    }

    private static bool IsAbove(DiagnosisResult result, double probability) =>
        result.Suspects is [var first, ..] && first.Probability > probability;

    /// <summary>The unit's faults that a suspect, or one of its equivalents, names without naming a sound part; none when all do.</summary>
    private static List<FaultClass> Found(SimulatedBench bench, Suspect suspect, SimulatedUnit unit)
    {
        string PartOf(string name) => bench.Amplifier.FindPart(name)?.Name ?? name;
        foreach (var set in suspect.Equivalents.Prepend(suspect.Faults))
        {
            var parts = set.Select(f => PartOf(f.Part)).ToHashSet();
            var mended = unit
                .Faults.Members.Where(m => m.Parts.Select(PartOf).Any(parts.Contains))
                .ToList();
            var faulty = mended.SelectMany(m => m.Parts.Select(PartOf)).ToHashSet();
            if (mended.Count > 0 && parts.IsSubsetOf(faulty))
            {
                return mended;
            }
        }
        return [];
    }

    private static string Story(SimulatedUnit unit, DiagnosisResult result, List<Reading> readings)
    {
        var truth = string.Join(" + ", unit.Named.Select(f => f.Describe()));
        var answer = result.Suspects is [var leading, ..]
            ? $"{VerdictWords.Faults(leading.Faults)} {leading.Probability:0.00}"
            : "nothing";
        return $"{truth}: {answer} after {readings.Count}: {string.Join(", ", readings.Select(r => $"{r.At} {r.Kind} {r.Condition}"))}";
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

    private static string Row(string circuit, int faults, string way, Outcome[] outcomes)
    {
        int[] Ordered(Func<Outcome, int> count) =>
            [.. outcomes.Select(o => o.IsRight ? count(o) : MostReadings).Order()];
        var toProbable = Ordered(o => o.ToProbable);
        var all = Ordered(o => o.All);
        double Share(Func<Outcome, bool> of) => 100.0 * outcomes.Count(of) / outcomes.Length;
        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {circuit} | {faults} | {way} | {outcomes.Length} | {toProbable[toProbable.Length / 2]} | {toProbable[toProbable.Length * 9 / 10]} | {all[all.Length / 2]} | {all[all.Length * 9 / 10]} | {Share(o => o.IsNamed):0} % | {Share(o => o.IsRight):0.0} % |"
        );
    }

    private static string Section(int seed, StringBuilder rows) =>
        $"""
            ## Next reading (`next --seed {seed}`)

            Units with drawn spreads, a complaint drawn by its likelihood, and three first readings that the program proposes; then readings one
            after another until one suspect, with what nothing tells from it, has more than {Settled:0.00}, or the strategy has no more to read. What it names is mended, and while a fault
            is left the unit is measured anew under the same complaint. Readings are counted after the first three of each round, until a suspect
            first has more than {Probable:0.0}, and until the end; {MostReadings} where not every fault was named, or a sound part was. Units are simulated by our own solver. Right: every fault was named and no sound part.

            | circuit | faults | strategy | units | readings to {Probable:0.0}, median | nine in ten | to the end, median | nine in ten | always a probable suspect | right |
            | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
            {rows}
            """;

    private readonly record struct Outcome(int ToProbable, int All, bool IsNamed, bool IsRight);
}
