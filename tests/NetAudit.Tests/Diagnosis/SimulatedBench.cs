using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>
/// A unit of a sample circuit with chosen faults that any kind of reading can be taken on, in any condition, as our own solver predicts
/// it at nominal values: for tests of the logic. Accuracy is measured elsewhere, on units that ngspice simulates.
/// </summary>
internal sealed class SimulatedBench
{
    private readonly HealthyUnit _healthy;
    private readonly FaultSet _set = FaultSet.Healthy;
    private readonly double[] _logValues;

    public SimulatedBench(string sample, params (string Fault, double? Value)[] faults)
    {
        var path = Repository.File($"sample-circuits/{sample}.cir");
        Amplifier = AmplifierReader.Read(path).Amplifier!;
        Diagnoser = Diagnoser.Prepare(Amplifier).Diagnoser!;
        var compiled = CompiledCircuit.Compile(Amplifier.Circuit);
        var workspace = new Workspace(compiled);
        Assert.True(workspace.Solve([]).Converged);
        var spread = SpreadModelBuilder.Build(Amplifier, compiled);
        _healthy = new(Amplifier, compiled, spread, workspace.Volts.ToArray());
        var values = new Dictionary<int, double>();
        foreach (var (description, value) in faults)
        {
            var fault = Diagnoser.Catalogue.Classes.First(c =>
                c.Identities.Any(i => i.Fault.Describe() == description)
            );
            _set = _set.With(fault)!;
            values.Add(fault.Index, value ?? fault.Range.Grid[0]);
        }
        _logValues = [.. _set.Members.Select(m => Math.Log(values[m.Index]))];
    }

    /// <summary>What is known of a healthy unit.</summary>
    public HealthyUnit Healthy => _healthy;

    public Amplifier Amplifier { get; }

    public Diagnoser Diagnoser { get; }

    /// <summary>Takes a reading, written as on the bench without its value: <c>p1</c>, <c>out ac</c>, <c>R3 ohms @ off</c>.</summary>
    public Reading Take(string what)
    {
        var at = what.IndexOf('@', StringComparison.Ordinal);
        var line = at < 0 ? what + " 1" : what.Insert(at, "1 ");
        var typed = TypedReading.Read(line, Amplifier);
        var reading = Assert.Single(typed.Readings);
        var (scene, reason) = _healthy.Scenes.Find(reading.Condition);
        Assert.True(scene is not null, reason);
        var row = Row.Of(_healthy.Meter, reading.Kind, reading.Node, reading.RefNode, 0);
        var circuit = _healthy.Circuit(scene, [row]);
        var start = _healthy.VoltsIn(scene, TestContext.Current.CancellationToken)!;
        Assert.True(
            circuit.Solve(_set, _logValues, [], start, TestContext.Current.CancellationToken)
        );
        circuit.Predictor.ReadMean();
        var value = RowScale.Value(row, circuit.Predictor.Mean[0]);
        return reading with { Value = value };
    }

    /// <summary>Volts DC at every point, powered normally.</summary>
    public IEnumerable<Reading> EveryVoltage() =>
        Amplifier
            .Points.DistinctBy(p => p.Node)
            .Select(p => Take(Amplifier.Circuit.Nodes[p.Node].Name + " dc"));

    /// <summary>A word for what was seen or heard.</summary>
    public Reading Observe(string line) =>
        Assert.Single(TypedReading.Read(line, Amplifier).Readings);

    public DiagnosisResult Diagnose(
        IEnumerable<Reading> readings,
        DiagnosisOptions? options = null
    ) =>
        Diagnoser.Diagnose(
            readings.ToImmutableArray(),
            options ?? new() { MaxFaults = 2 },
            TestContext.Current.CancellationToken
        );

    public static string Words(Suspect suspect) =>
        string.Join(" + ", suspect.Faults.Select(f => f.Describe()));
}
