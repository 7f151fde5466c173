using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>
/// A unit of a sample circuit for tests of the diagnosis logic: nominal values, chosen faults, every point read by a perfect meter of
/// the sheet's input resistance. Accuracy itself is measured elsewhere, on units that ngspice simulates.
/// </summary>
internal sealed class BenchUnit
{
    private readonly Dictionary<int, double> _readings = [];

    private BenchUnit(Amplifier amplifier, Diagnoser diagnoser)
    {
        Amplifier = amplifier;
        Diagnoser = diagnoser;
    }

    public Amplifier Amplifier { get; }

    public Diagnoser Diagnoser { get; }

    /// <summary>Makes a unit with the faults of those descriptions (<c>R3 open</c>), each at the first value of its grid or the given one.</summary>
    public static BenchUnit Of(string sample, params (string Fault, double? Value)[] faults)
    {
        var path = Repository.File($"sample-circuits/{sample}.cir");
        var amplifier = AmplifierReader.Read(path).Amplifier!;
        var diagnoser = Diagnoser.Prepare(amplifier).Diagnoser!;
        var unit = new BenchUnit(amplifier, diagnoser);
        var workspace = new Workspace(CompiledCircuit.Compile(amplifier.Circuit));
        foreach (var (description, value) in faults)
        {
            var fault = diagnoser.Catalogue.Classes.First(c =>
                c.Identities.Any(i => i.Fault.Describe() == description)
            );
            fault.ApplyTo(workspace, value ?? fault.Range.Grid[0]);
        }
        Assert.True(workspace.Solve([]).Converged);
        var nodes = amplifier.Points.Select(p => p.Node).Distinct().ToArray();
        var volts = new double[nodes.Length];
        workspace.Read(
            [.. nodes.Select(n => new Probe(n, 0, amplifier.Sheet.Meter.LoadOhms(0)))],
            [],
            volts,
            []
        );
        for (var i = 0; i < nodes.Length; i++)
        {
            unit._readings.Add(nodes[i], volts[i]);
        }
        return unit;
    }

    /// <summary>Changes what the person wrote down at a node.</summary>
    public BenchUnit Write(string node, Func<double, double> change)
    {
        var index = Amplifier.Circuit.FindNode(node);
        _readings[index] = change(_readings[index]);
        return this;
    }

    /// <summary>Diagnoses from all points, or from the named nodes only.</summary>
    public DiagnosisResult Diagnose(int maxFaults, params string[] nodes) =>
        Diagnoser.Diagnose([.. Readings(nodes)], new() { MaxFaults = maxFaults });

    /// <summary>Diagnoses from all points under a cancellation token.</summary>
    public DiagnosisResult Diagnose(int maxFaults, CancellationToken cancellationToken) =>
        Diagnoser.Diagnose([.. Readings([])], new() { MaxFaults = maxFaults }, cancellationToken);

    private IEnumerable<Reading> Readings(string[] nodes) =>
        _readings
            .Select(r => (Name: Amplifier.Circuit.Nodes[r.Key].Name, Node: r.Key, Volts: r.Value))
            .Where(r => nodes.Length == 0 || nodes.Contains(r.Name))
            .Select(r => new Reading(
                r.Name,
                r.Node,
                ReadingKind.Dc,
                Math.Round(r.Volts, 3),
                null,
                null,
                null,
                0,
                Condition.Normal,
                "",
                default
            ));
}
