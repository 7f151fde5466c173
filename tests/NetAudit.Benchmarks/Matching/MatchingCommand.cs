using System.Globalization;
using System.Text;
using NetAudit.Audits.Variants;
using NetAudit.Benchmarks.Figures;
using NetAudit.Benchmarks.Speed;
using NetAudit.Circuits;
using NetAudit.Reference.RandomNetlists;

namespace NetAudit.Benchmarks.Matching;

/// <summary><c>matching</c>: how many parts are recognised in a redrawn circuit, and how long that takes.</summary>
internal static class MatchingCommand
{
    private const int Changes = 3;

    private static readonly double[] E24 = [1, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2, 2.2, 2.4, 2.7, 3];

    public static int Run(Options options)
    {
        var seeds = options.Count("seeds", 40);
        var section = new StringBuilder();
        section.AppendLine(
            CultureInfo.InvariantCulture,
            $"""
            ## Matching of variants (`matching --seeds {seeds}`)

            Every name shuffled, the cards in another order, {Changes} parts changed (value, connection, removed, added); no sheet. Right: an
            element or device that is still there is matched to itself, the changed ones among them; of equal channels none is itself, so that
            there a part is right when its look and all its connections correspond (the changed ones do not). {Machine.Description}

            | circuit | parts | runs | right | median time |
            | --- | --- | --- | --- | --- |
            """
        );
        var samples = Directory
            .EnumerateFiles(options.Samples, "*.cir")
            .Order(StringComparer.Ordinal);
        foreach (var path in samples)
        {
            section.AppendLine(
                Row(Path.GetFileNameWithoutExtension(path), File.ReadAllText(path), seeds)
            );
        }
        var channel = File.ReadAllText(Path.Combine(options.Samples, "marram-20.cir"));
        var many = ChannelNetlist.Of(channel, 80);
        section.AppendLine(Row("80 channels, no two alike", Varied(many), 3));
        section.AppendLine(Row("80 equal channels", many, 3, upToSymmetry: true));
        FiguresFile.Write(options.Output, "matching", section.ToString());
        Console.WriteLine(section);
        return 0;
    }

    private static string Row(string name, string text, int seeds, bool upToSymmetry = false)
    {
        var first = Read(text);
        var (right, all, parts) = (0, 0, 0);
        var times = new List<double>();
        for (var seed = 1; seed <= seeds; seed++)
        {
            var shuffled = ShuffledNetlist.Of(text, Changes, seed);
            var second = Read(shuffled.Text);
            VariantMatching? matching = null;
            times.Add(
                Machine.MedianMilliseconds(1, () => matching = VariantMatching.Of(first, second))
            );
            parts = matching!.First.Length;
            var names = matching.First.Select(unit => unit.Name).ToHashSet(StringComparer.Ordinal);
            var found = matching.Units.ToDictionary(
                match => matching.First[match.First].Name,
                match => matching.Second[match.Second].Name
            );
            var there = shuffled.Elements.Where(e => names.Contains(e.Key)).ToArray();
            all += there.Length;
            right += upToSymmetry
                ? Preserved(matching)
                : there.Count(e => found.GetValueOrDefault(e.Key) == e.Value);
        }
        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {name} | {parts} | {seeds} | {100.0 * right / all:0.00} % | {Machine.Median([.. times]):0.0} ms |"
        );
    }

    private static int Preserved(VariantMatching matching) =>
        matching.Units.Length - new DifferenceFinder(matching).Changes().Length;

    /// <summary>The netlist with other values in every channel.</summary>
    private static string Varied(string netlist)
    {
        var random = new Random(1);
        return string.Join(
            '\n',
            netlist
                .Split('\n')
                .Select(line =>
                    line.Length > 0 && line[0] is 'R' or 'C' && !line.EndsWith('}')
                        ? $"{line[..line.LastIndexOf(' ')]} {{{line[(line.LastIndexOf(' ') + 1)..]}*{E24[random.Next(E24.Length)].ToString(CultureInfo.InvariantCulture)}}}"
                        : line
                )
        );
    }

    private static Amplifier Read(string text) =>
        AmplifierReader.ReadText(CircuitReader.ReadText(text, "timed"), null).Amplifier!;
}
