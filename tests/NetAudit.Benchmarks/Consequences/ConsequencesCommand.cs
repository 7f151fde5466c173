using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using NetAudit.Audits.Consequences;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;

namespace NetAudit.Benchmarks.Consequences;

/// <summary><c>consequences</c>: how long it takes to try every single fault of a circuit.</summary>
internal static class ConsequencesCommand
{
    private const int Repeats = 5;

    public static int Run(Options options)
    {
        var section = new StringBuilder();
        section.AppendLine(
            CultureInfo.InvariantCulture,
            $"""
            ## Consequences (`consequences`)

            Every single fault of the catalogue put in, solved and held against every limit, with the circuit compiled and the catalogue made
            anew each time; the clock's median of {Repeats}, the processor's mean, which other programs do not lengthen as much. {Machine.Description}

            | circuit | different faults | harmful | clock | processor |
            | --- | --- | --- | --- | --- |
            """
        );
        var samples = Directory.EnumerateFiles(options.Samples, "*.cir");
        foreach (var path in samples.Order(StringComparer.Ordinal))
        {
            var amplifier = AmplifierReader.Read(path).Amplifier!;
            var found = Find(amplifier);
            var before = Environment.CpuUsage.TotalTime;
            var clock = Machine.MedianMilliseconds(Repeats, () => Find(amplifier));
            var processor = (Environment.CpuUsage.TotalTime - before) / Repeats;
            section.AppendLine(
                CultureInfo.InvariantCulture,
                $"| {Path.GetFileNameWithoutExtension(path)} | {found.Length} | {found.Count(one => one.IsHarmful)} | {clock / 1000:0.000} s | {processor.TotalSeconds:0.000} s |"
            );
        }
        FiguresFile.Write(options.Output, "consequences", section.ToString());
        Console.WriteLine(section);
        return 0;
    }

    private static ImmutableArray<Consequence> Find(Amplifier amplifier) =>
        ConsequenceFinder.Prepare(amplifier).Finder!.All();
}
