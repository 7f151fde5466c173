using System.Globalization;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;
using NetAudit.Expectations.LargeSignal;
using NetAudit.Reference.Ngspice;
using NetAudit.Simulation;
using NetAudit.Simulation.Transients;

namespace NetAudit.Benchmarks.Speed;

/// <summary>A run through time, and whole drive sweeps.</summary>
internal static class TransientTimings
{
    private const double Stop = 20e-3;
    private const double LargestStep = 1e-3 / 64;
    private const int Repeats = 7;

    /// <summary>The figures as rows of a table with its heading.</summary>
    public static string Section(string samples)
    {
        var lines = new List<string>
        {
            "",
            "20 ms of a 1 kHz sine; our error bound 1e-4 of each swing, ngspice at its defaults with the same longest step of 1/64 ms.",
            "",
            "| circuit | peak | steps | transient | ngspice tran | drive sweep to clipping | levels | bytes allocated by steps |",
            "| --- | --- | --- | --- | --- | --- | --- | --- |",
        };
        foreach (
            var (name, written, peak) in ((string, string, string)[])
                [
                    ("marram-5", "7.07m", "5m"),
                    ("marram-20", "707u", "1m"),
                    ("marram-50-a", "1.41m", "2m"),
                    ("marram-line", "141m", "0.3"),
                ]
        )
        {
            var row = Row(samples, name, written, peak);
            Console.WriteLine(row);
            lines.Add(row);
        }
        return string.Join('\n', lines) + "\n";
    }

    private static string Row(string samples, string name, string written, string peak)
    {
        var path = Path.Combine(samples, name + ".cir");
        var text = File.ReadAllText(path)
            .Replace($"SIN(0 {written} 1k)", $"SIN(0 {peak} 1k)", StringComparison.Ordinal);
        var circuit = CircuitReader.ReadText(text, "timed.cir").Circuit!;
        var workspace = Workspace.ForDynamics(CompiledCircuit.Compile(circuit));
        var integrator = new Integrator(
            workspace,
            new IntegratorOptions(LargestStep),
            SourceFunctions.OfCards(workspace, Stop / 1000, Stop)
        );
        if (!integrator.StartAtOperatingPoint([], CancellationToken.None))
        {
            throw new InvalidOperationException("no operating point");
        }
        long bytes = 0;
        void Advance()
        {
            integrator.StartAtOperatingPoint([], CancellationToken.None);
            var before = GC.GetAllocatedBytesForCurrentThread();
            integrator.AdvanceTo(Stop, CancellationToken.None);
            bytes = GC.GetAllocatedBytesForCurrentThread() - before;
        }
        Machine.WarmUp(Advance);
        var ours = Machine.MedianMilliseconds(Repeats, Advance);
        var steps = integrator.Outcome(TransientFailure.None).Steps;
        var theirs = Ngspice(text);
        var amplifier = AmplifierReader.Read(path).Amplifier!;
        var setup = DriveSetup.Find(amplifier).Setup!;
        var levels = 0;
        var sweep = Machine.MedianMilliseconds(
            3,
            () => levels = DriveSweep.Of(amplifier, setup, new DriveLimits()).Points.Length
        );
        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {name} | {peak}V | {steps} | {ours:0.0} ms | {theirs:0} ms | {sweep / 1000:0.00} s | {levels} | {bytes} |"
        );
    }

    private static double Ngspice(string text)
    {
        using var folder = new NgspiceFolder(TubeLibrary.Text);
        var path = folder.Add("timed.cir", text);
        return NgspiceSession.Use(session =>
        {
            session.LoadFile(path);
            session.Command("option reltol=1e-3 abstol=1e-12 vntol=1e-6");
            return Machine.MedianMilliseconds(
                3,
                () => session.Transient(Stop / 1000, Stop, LargestStep)
            );
        });
    }
}
