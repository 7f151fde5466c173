using System.Globalization;
using System.Text;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;

namespace NetAudit.Benchmarks.Speed;

/// <summary><c>speed</c>: solver, ngspice and diagnosis timed in one run.</summary>
internal static class SpeedCommand
{
    private static readonly int[] GrowthChannels = [1, 3, 10, 30, 120];

    public static int Run(Options options)
    {
        var netlist = Path.Combine(options.Samples, "marram-20.cir");
        var text = File.ReadAllText(netlist);
        SpeedSubject[] subjects =
        [
            SpeedSubject.Of("marram-20", text),
            SpeedSubject.Of("three channels", ChannelNetlist.Of(text, 3)),
        ];
        var section = new StringBuilder();
        section.AppendLine(
            CultureInfo.InvariantCulture,
            $"""
            ## Speed (`speed`)

            Medians. ngspice is libngspice in the same process and run, with its default tolerances. {Machine.Description}
            Whole answers and the command take all cores for the effects of single faults and for the neighbours of the best set.

            | circuit | nodes | warm re-solve | ngspice alter + op | text to operating point | ngspice source + op | bytes allocated by re-solves |
            | --- | --- | --- | --- | --- | --- | --- |
            """
        );
        foreach (var subject in subjects)
        {
            var row = SolverRow(subject);
            section.AppendLine(row);
            Console.WriteLine(row);
        }
        AddSmallSignal(section, subjects[0]);
        // Two channels have as many parts as a bigger amplifier, three as many nodes.
        AddDiagnosis(
            section,
            options,
            netlist,
            [subjects[0], SpeedSubject.Of("two channels", ChannelNetlist.Of(text, 2)), subjects[1]]
        );
        AddGrowth(section, text);
        section.Append(TransientTimings.Section(options.Samples));
        section.Append(SupplyTimings.Section(options.Samples));
        FiguresFile.Write(options.Output, "speed", section.ToString());
        Console.WriteLine(section);
        return 0;
    }

    private static string SolverRow(SpeedSubject subject)
    {
        var (warm, bytes) = SolverTimings.WarmResolve(subject);
        var reading = SolverTimings.TextToPoint(subject);
        var (alter, source) = SolverTimings.Ngspice(subject, TubeLibrary.Text);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {subject.Name} | {subject.Nodes} | {warm:0.0} us | {alter:0} us | {reading:0.00} ms | {source:0.00} ms | {bytes} |"
        );
    }

    private static void AddSmallSignal(StringBuilder section, SpeedSubject subject)
    {
        var (ideal, loaded, derived, resistances, bytes) = SmallSignalTimings.Levels(
            subject,
            "VIN"
        );
        section.AppendLine();
        section.AppendLine(
            "| levels at all nodes, one frequency, new operating point | ideal meters | 10 Mohm, 100 pF | with all derivatives | resistances with all derivatives | bytes allocated |"
        );
        section.AppendLine("| --- | --- | --- | --- | --- | --- |");
        var row = string.Create(
            CultureInfo.InvariantCulture,
            $"| {subject.Name} | {ideal:0.0} us | {loaded:0.0} us | {derived:0.0} us | {resistances:0.0} us | {bytes} |"
        );
        section.AppendLine(row);
        Console.WriteLine(row);
    }

    private static void AddDiagnosis(
        StringBuilder section,
        Options options,
        string netlist,
        SpeedSubject[] subjects
    )
    {
        section.AppendLine();
        section.AppendLine(
            "| all DC points read | hypotheses | all single faults ranked | whole answer, singles | with pairs | with triples |"
        );
        section.AppendLine("| --- | --- | --- | --- | --- | --- |");
        var folder = Directory.CreateTempSubdirectory("netaudit-");
        foreach (var subject in subjects)
        {
            var path = Path.Combine(folder.FullName, subject.Name.Replace(' ', '-') + ".cir");
            File.WriteAllText(path, subject.Text);
            var amplifier = AmplifierReader.Read(path).Amplifier!;
            var timings = new DiagnosisTimings(amplifier);
            var (ranking, hypotheses) = timings.Ranking();
            var row = string.Create(
                CultureInfo.InvariantCulture,
                $"| {subject.Name}, {amplifier.Parts.Length} parts | {hypotheses} | {ranking:0.000} s | {timings.Answer(1):0.000} s | {timings.Answer(2):0.000} s | {timings.Answer(3):0.000} s |"
            );
            section.AppendLine(row);
            Console.WriteLine(row);
        }
        folder.Delete(recursive: true);
        var readings = Path.Combine(options.Samples, "readings", "marram-20-unit1.csv");
        var command = CommandTiming.Diagnose(
            options.Text("command", DefaultCommand()),
            netlist,
            readings
        );
        section.AppendLine();
        section.AppendLine(
            double.IsNaN(command)
                ? "Start of the command to its answer: not measured, the command is not built."
                : string.Create(
                    CultureInfo.InvariantCulture,
                    $"Start of the command to its answer on marram-20: {command:0.00} s."
                )
        );
    }

    private static void AddGrowth(StringBuilder section, string text)
    {
        section.AppendLine();
        section.AppendLine("| channels of Marram 20 | nodes | warm re-solve | per node |");
        section.AppendLine("| --- | --- | --- | --- |");
        foreach (var channels in GrowthChannels)
        {
            var subject = SpeedSubject.Of(
                $"{channels} channels",
                ChannelNetlist.Of(text, channels)
            );
            var (warm, _) = SolverTimings.WarmResolve(subject);
            section.AppendLine(
                CultureInfo.InvariantCulture,
                $"| {channels} | {subject.Nodes} | {warm:0.0} us | {1000 * warm / subject.Nodes:0} ns |"
            );
        }
    }

    private static string DefaultCommand() =>
        Path.Combine("src", "NetAudit.Cli", "bin",
#if DEBUG
            "Debug",
#else
            "Release",
#endif
            "net10.0", "NetAudit.Cli.dll");
}
