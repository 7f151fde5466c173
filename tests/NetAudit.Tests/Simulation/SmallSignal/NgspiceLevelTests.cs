using NetAudit.Circuits;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.RandomNetlists;
using NetAudit.Reference.Units;
using NetAudit.Simulation;
using NetAudit.Tests.Reference;
using Xunit;

namespace NetAudit.Tests.Simulation.SmallSignal;

/// <summary>Levels against ngspice 39, <c>.ac</c> at 20 Hz, 200 Hz, 2 kHz and 20 kHz, every node.</summary>
public class NgspiceLevelTests
{
    private const int FaultedVersionsEach = 5;

    public static TheoryData<string> Samples => SampleCircuitTests.Samples;

    [Theory]
    [MemberData(nameof(Samples))]
    public void Levels_OfSample_AreThoseOfNgspice(string sample)
    {
        NgspiceRequirement.Check();
        var amplifier = SampleCircuitTests.Read(sample);
        var workspace = new Workspace(CompiledCircuit.Compile(amplifier.Circuit));
        var compared = 0;
        var differences = NgspiceLevels.Differences(
            workspace,
            Source(amplifier),
            [],
            sample,
            ref compared
        );
        Assert.Equal(1, compared);
        Assert.True(differences.Count == 0, string.Join("\n", differences));
    }

    [Theory]
    [MemberData(nameof(Samples))]
    public void Levels_OfFaultedSample_AreThoseOfNgspice(string sample)
    {
        NgspiceRequirement.Check();
        var amplifier = SampleCircuitTests.Read(sample);
        var circuit = amplifier.Circuit;
        var generator = new UnitGenerator(amplifier, seed: 1, healthyUnits: 6);
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        var random = new Random(21);
        var differences = new List<string>();
        var compared = 0;
        for (var i = 0; i < FaultedVersionsEach; i++)
        {
            var unit = generator.Faulty(1 + i % 3, random);
            List<CircuitEdit> edits = [.. unit.Edits, .. ReactiveFaults(circuit, random)];
            differences.AddRange(
                NgspiceLevels.Differences(
                    workspace,
                    Source(amplifier),
                    edits,
                    $"{sample} {string.Join(" + ", unit.Faults)}",
                    ref compared
                )
            );
        }
        Assert.True(differences.Count == 0, string.Join("\n", differences.Take(30)));
        Assert.InRange(compared, FaultedVersionsEach - 2, FaultedVersionsEach);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Levels_OfRandomCircuits_AreThoseOfNgspice(int part)
    {
        NgspiceRequirement.Check();
        var differences = new List<string>();
        var compared = 0;
        for (var seed = part * 17; seed < part * 17 + 17; seed++)
        {
            var read = CircuitReader.ReadText(RandomNetlist.Make(seed), $"random-{seed}.cir");
            Assert.NotNull(read.Circuit);
            var workspace = new Workspace(CompiledCircuit.Compile(read.Circuit));
            differences.AddRange(
                NgspiceLevels.Differences(
                    workspace,
                    read.Circuit.FindElement("VSIG"),
                    [],
                    $"seed {seed}",
                    ref compared
                )
            );
        }
        Assert.True(differences.Count == 0, string.Join("\n", differences.Take(30)));
        Assert.InRange(compared, 15, 17);
    }

    [Fact]
    public void Levels_OfEveryDeviceKind_AreThoseOfNgspice()
    {
        NgspiceRequirement.Check();
        var circuit = Netlist.Read(LevelDerivativeTests.Mixture);
        var compared = 0;
        var differences = NgspiceLevels.Differences(
            new Workspace(CompiledCircuit.Compile(circuit)),
            circuit.FindElement("VIN"),
            [],
            "mixture",
            ref compared
        );
        Assert.True(differences.Count == 0, string.Join("\n", differences));
        Assert.Equal(1, compared);
    }

    private static int Source(Amplifier amplifier) =>
        amplifier.Circuit.FindElement(amplifier.Sheet.Signal!.Source);

    // A capacitor with another value and one with an open joint: faults that DC does not see.
    private static IEnumerable<CircuitEdit> ReactiveFaults(Circuit circuit, Random random)
    {
        var capacitors = circuit
            .Elements.Index()
            .Where(element => element.Item is Capacitor { Device: null })
            .ToArray();
        random.Shuffle(capacitors);
        yield return new SetValue(
            capacitors[0].Index,
            ((Capacitor)capacitors[0].Item).Farads * random.NextDouble()
        );
        yield return new SetJoint(
            capacitors[1].Item.Terminals[0].Pin,
            random.Next(2) == 0 ? double.PositiveInfinity : 4700
        );
    }
}
