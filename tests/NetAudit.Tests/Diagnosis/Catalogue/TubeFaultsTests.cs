using NetAudit.Circuits;
using NetAudit.Circuits.Tubes;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Simulation;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Catalogue;

/// <summary>Faults of a double triode (V1, sections A and B) and of a pentode (V3) in a sample circuit.</summary>
public sealed class TubeFaultsTests
{
    private readonly Amplifier _amplifier = Amplifiers.Sample("marram-20.cir");
    private readonly Listed _listed;

    public TubeFaultsTests() => _listed = new(_amplifier);

    [Fact]
    public void Section_WeakOrDead_LosesEmission()
    {
        var (weak, dead) = (_listed["XV1A weak"], _listed["XV1A dead"]);

        Assert.Equal(weak.Alterations, dead.Alterations);
        Assert.Equal((0.08, 0.8, 4), (weak.Range.Low, weak.Range.High, weak.Range.Grid.Length));
        Assert.Equal(1e-6, Assert.Single(dead.Range.Grid));
        Assert.All(
            weak.Alterations,
            a =>
                Assert.Equal(
                    (AlterationKind.Parameter, 1.0, ParameterKind.Strength),
                    (a.Kind, a.Coefficient, _listed.Compiled.Parameters[a.A].Kind)
                )
        );
        Assert.Equal(-1, weak.Direction.Sign);
        Assert.Equal(weak.Alterations[0].A, weak.Direction.Parameter);
        Assert.Equal("V1", weak.Inside);
        Assert.Equal(18.0 / 4, _listed.Share("XV1A weak") / _listed.Share("XV1A dead"), 9);
    }

    [Fact]
    public void Pentode_Weak_LosesTheScreensCurrentToo()
    {
        var weak = _listed["V3 weak"];

        Assert.Equal(2, weak.Alterations.Length);
        Assert.Equal(
            weak.Alterations.Select(a => a.A).Order(),
            ((int[])[weak.Direction.Parameter, weak.Direction.SecondParameter]).Order()
        );
        Assert.Equal(-1, _listed["XV1A weak"].Direction.SecondParameter);
    }

    [Fact]
    public void Envelope_NotHeated_LosesBothSections()
    {
        var cold = _listed["V1 not heated"];
        var sections = _listed["XV1A dead"].Alterations.Concat(_listed["XV1B dead"].Alterations);

        Assert.Equal(sections.OrderBy(a => a.A), cold.Alterations.OrderBy(a => a.A));
        Assert.Same(cold, _listed["V1 dead"]);
        // All of it weak is a fault of its own; a tube of one section has no other name.
        Assert.Equal(cold.Alterations, _listed["V1 weak"].Alterations);
        Assert.False(_listed.Has("XV3 weak"));
        // A heater's joint is at the socket: another tube does not mend it.
        var heater = _amplifier.FindPart("V1")!.Pins.First(p => p.Electrode == Electrode.Heater);
        Assert.Null(_listed[$"V1 pin {heater.Name}: joint open"].Inside);
        Assert.Equal(cold.Alterations, _listed[$"V1 pin {heater.Name}: joint open"].Alterations);
    }

    [Fact]
    public void Grid_GasOrAShort_JoinsItToPlateOrCathode()
    {
        var gas = _listed["XV1A gassy"];

        Assert.Equal(
            new Alteration(AlterationKind.Inject, _listed.Node("p1"), _listed.Node("g1"), 1),
            Assert.Single(gas.Alterations)
        );
        Assert.Equal(
            new Direction(-1, -1, _listed.Node("p1"), _listed.Node("g1"), 1, Downhill: false),
            gas.Direction
        );
        Assert.Equal((5e-8, 5e-5), (gas.Range.Low, gas.Range.High));
        _listed.AssertJoins("XV1A grid shorted to cathode", "g1", "k1");
        _listed.AssertJoins("XV1A leaks from heater to cathode", "k1", "0");
        Assert.Equal("V1", _listed["XV1A grid shorted to cathode"].Inside);
    }

    [Fact]
    public void Triode_CathodeAtChassisOrAtItsGrid_CannotLeakOrShortThere()
    {
        var listed = new Listed(
            "VB b 0 250\nR1 b p 100k\nXV1 p g 0 12AX7\nR2 g 0 1Meg\nR3 b q 100k\nXV2 q k k 12AX7\nR4 k 0 1k"
        );

        Assert.False(listed.Has("V1 leaks from heater to cathode"));
        listed.AssertJoins("V1 grid shorted to cathode", "g", "0");
        Assert.False(listed.Has("V2 grid shorted to cathode"));
        listed.AssertJoins("V2 leaks from heater to cathode", "k", "0");
    }

    [Fact]
    public void Joints_OfEachPin_AreScreenedByWhatIsLostThere()
    {
        var triode = _amplifier.FindPart("V1")!;
        foreach (var pin in triode.Pins.Where(p => p.Pin >= 0))
        {
            var open = _listed[$"V1 pin {pin.Name}: joint open"];
            Assert.Equal(
                new Alteration(AlterationKind.Break, pin.Pin, 0, 1),
                Assert.Single(open.Alterations)
            );
            Assert.Null(open.Inside);
            var kind = _listed.Compiled.Parameters[open.Direction.Parameter].Kind;
            Assert.Equal(
                pin.Electrode == Electrode.Grid ? ParameterKind.Offset : ParameterKind.Strength,
                kind
            );
            Assert.Equal(pin.Electrode == Electrode.Grid ? 0 : -1, open.Direction.Sign);
            Assert.Equal(
                1 / 0.6,
                _listed.Share($"V1 pin {pin.Name}: joint open")
                    / _listed.Share($"V1 pin {pin.Name}: bad joint"),
                9
            );
        }
        // A pentode's plate that is cut off hands its current to the screen.
        var plate = _amplifier.FindPart("V3")!.Pins.First(p => p.Electrode == Electrode.Plate);
        Assert.Equal(
            new Direction(-1, -1, _listed.Node("s5"), _listed.Node("p5"), 0),
            _listed[$"V3 pin {plate.Name}: joint open"].Direction
        );
    }

    [Fact]
    public void Bridges_JoinNeighbouringPinsThatAreUsed()
    {
        var pins = _amplifier.FindPart("V1")!.Pins;
        var bridges = _listed
            .Classes.SelectMany(c => c.Identities)
            .Where(i => i.Fault is { Part: "V1", Mode: FaultMode.Bridged })
            .Select(i => i.Fault)
            .ToArray();

        Assert.NotEmpty(bridges);
        foreach (var bridge in bridges)
        {
            var ends = bridge.Pin!.Split('-');
            var first = Array.FindIndex([.. pins], p => p.Name == ends[0]);
            Assert.Equal(ends[1], pins[first + 1].Name);
            _listed.AssertJoins(
                bridge.Describe(),
                bridge.Nodes!.Value.First,
                bridge.Nodes.Value.Second
            );
        }
        // Plate and grid of section A are pins 6 and 7 or 1 and 2: neighbours in either case.
        Assert.Contains(bridges, b => Pair(b) == ("g1", "p1"));
        Assert.Contains(bridges, b => Pair(b) == ("g2", "p2"));

        static (string, string) Pair(Fault bridge)
        {
            var (first, second) = bridge.Nodes!.Value;
            return string.CompareOrdinal(first, second) < 0 ? (first, second) : (second, first);
        }
    }
}
