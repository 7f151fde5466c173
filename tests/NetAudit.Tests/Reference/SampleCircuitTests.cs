using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.Ngspice;
using NetAudit.Reference.Units;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>The files of sample-circuits, read by us and by ngspice.</summary>
public class SampleCircuitTests
{
    private const int FaultedVersionsEach = 10;

    public static TheoryData<string> Samples =>
        [
            .. Directory
                .GetFiles(RepositoryFiles.Samples, "*.cir")
                .Select(path => Path.GetFileName(path))
                .Order(),
        ];

    [Theory]
    [MemberData(nameof(Samples))]
    public void NetlistAndSheet_OfSample_AreReadWithoutAnyComplaint(string sample)
    {
        var read = AmplifierReader.Read(Path.Combine(RepositoryFiles.Samples, sample));
        Assert.NotNull(read.Amplifier);
        Assert.Empty(
            read.Diagnostics.Where(d => d.Severity != Severity.Note).Select(d => d.ToString())
        );
    }

    [Theory]
    [MemberData(nameof(Samples))]
    public void OperatingPoint_OfSample_IsThatOfNgspiceOnTheSameFile(string sample)
    {
        NgspiceRequirement.Check();
        var text = File.ReadAllText(Path.Combine(RepositoryFiles.Samples, sample));
        Assert.Empty(Agreement.OfText(text, sample));
    }

    [Theory]
    [MemberData(nameof(Samples))]
    public void OperatingPoint_OfFaultedSample_IsThatOfNgspice(string sample)
    {
        NgspiceRequirement.Check();
        var amplifier = Read(sample);
        var circuit = amplifier.Circuit;
        var generator = new UnitGenerator(amplifier, seed: 1, healthyUnits: 6);
        var compiled = CompiledCircuit.Compile(circuit);
        var workspace = new Workspace(compiled);
        var random = new Random(20);
        var differences = new List<string>();
        for (var i = 0; i < FaultedVersionsEach; i++)
        {
            var unit = generator.Faulty(1 + i % 3, random);
            var expected = NgspiceSession.Use(session =>
            {
                session.Load(FlatNetlist.Write(circuit, unit.Edits));
                Assert.True(session.OperatingPoint(), session.Log);
                return circuit
                    .Nodes.Select(node => session.Value(FlatNetlist.Node(node.Index)))
                    .ToArray();
            });
            workspace.Restore();
            workspace.Apply(compiled, unit.Edits);
            var name = $"{sample} {string.Join(" + ", unit.Faults)}";
            if (!workspace.Solve([]).Converged)
            {
                differences.Add($"{name}: no operating point");
                continue;
            }
            differences.AddRange(Agreement.Differences(circuit, workspace.Volts, expected, name));
        }
        Assert.Empty(differences);
    }

    internal static Amplifier Read(string sample)
    {
        var read = AmplifierReader.Read(Path.Combine(RepositoryFiles.Samples, sample));
        Assert.NotNull(read.Amplifier);
        return read.Amplifier;
    }
}
