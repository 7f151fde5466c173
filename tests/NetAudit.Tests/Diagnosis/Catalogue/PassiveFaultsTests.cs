using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Catalogue;

/// <summary>What may be wrong with a resistor, a capacitor, a winding, a control: effect, range of values, how often.</summary>
public sealed class PassiveFaultsTests
{
    [Fact]
    public void Resistor_OpenOrAJointOpen_IsOneEffectOnItsValue()
    {
        var listed = new Listed("V1 in 0 12\nR1 in a 10k\nR2 a 0 10k");
        var ohms = listed.Parameter(ParameterKind.Value, "R1");

        var open = listed["R1 open"];

        Assert.Equal(
            ["R1 open", "R1 pin 1: joint open", "R1 pin 2: joint open"],
            open.Identities.Select(i => i.Fault.Describe()).Order(StringComparer.Ordinal)
        );
        Assert.Equal(
            new Alteration(AlterationKind.Parameter, ohms, 0, 1),
            Assert.Single(open.Alterations)
        );
        Assert.Equal(CompiledCircuit.OpenResistance, Assert.Single(open.Range.Grid));
        Assert.Equal(new Direction(ohms, -1, -1, -1, 1), open.Direction);
        listed.AssertJoins("R1 short", "in", "a");
        Assert.False(listed.Has("R1 leaky"));
    }

    [Fact]
    public void Resistor_WrongValues_ReachFromTwoDecadesBelowToTwentyTimes()
    {
        var listed = new Listed("V1 in 0 12\nR1 in a 10k\nR2 a 0 10k");
        var drifted = listed["R1 drifted"];

        Assert.Same(drifted, listed["R1 wrong value"]);
        Assert.Equal(0, drifted.Direction.Sign);
        Assert.Equal(10e3, drifted.Range.Nominal);
        Assert.Equal(10e3 / 150, drifted.Range.Low, 9);
        Assert.Equal(20 * 10e3, drifted.Range.High, 9);
        // A bad joint adds to it, and beyond twenty times it is one for certain.
        var joints = listed
            .Classes.Where(c => c.Identities.Any(i => i.Fault.Describe() == "R1 pin 2: bad joint"))
            .ToArray();
        Assert.Equal(2, joints.Length);
        Assert.Same(drifted, joints[0]);
        Assert.Equal(
            (20 * 10e3, 3e9, 1),
            (Math.Round(joints[1].Range.Low), joints[1].Range.High, joints[1].Direction.Sign)
        );
    }

    [Fact]
    public void Resistor_OfAnOhm_DriftsLikeAnyOther()
    {
        // A current is read across it: 3.4 ohm in its place read as three times the current.
        var drifted = new Listed("V1 in 0 12\nR1 in a 1\nR2 a 0 10k")["R1 drifted"];

        Assert.Equal((1.0 / 150, 20), (drifted.Range.Low, drifted.Range.High));
        Assert.Equal(0, drifted.Direction.Sign);
    }

    [Fact]
    public void Fuse_OfHalfAnOhm_CanOnlyBeMore()
    {
        var listed = new Listed(
            "V1 in 0 12\nRFUSE1 in a 0.5\nR2 a 0 10k",
            "[[fuse]]\nname = \"F1\"\nelement = \"RFUSE1\"\nrating = \"250mA T\""
        );

        Assert.False(listed.Has("RFUSE1 drifted"));
        var joint = listed["RFUSE1: bad joint"];
        Assert.Equal((20.5, 1e6), (joint.Range.Low, joint.Range.High));
        Assert.Equal(1, joint.Direction.Sign);
    }

    [Fact]
    public void Resistor_BetweenOneNode_IsShortAlready() =>
        Assert.False(new Listed("V1 in 0 12\nR1 in 0 10k\nR2 in in 10k").Has("R2 short"));

    [Fact]
    public void Shares_OfAllFaults_AreInTheRatiosOfTheTableAndMakeOne()
    {
        var listed = new Listed("V1 in 0 12\nR1 in a 10k\nR2 a 0 10k");

        Assert.Equal(1, listed.Classes.Sum(c => c.Share), 12);
        Assert.Equal(0.45 / 0.04, listed.Share("R1 open") / listed.Share("R1 short"), 9);
        Assert.Equal(
            0.15 / 0.45,
            listed.Share("R1 pin 1: joint open") / listed.Share("R1 open"),
            9
        );
        Assert.Equal(0.51 / 0.1, listed.Share("R1 drifted") / listed.Share("R1 wrong value"), 9);
        Assert.Equal(listed.Share("R1 open"), listed.Share("R2 open"), 12);
        // The likeliest identity first.
        Assert.All(
            listed.Classes,
            c => Assert.Equal(c.Identities.OrderByDescending(i => i.Share), c.Identities)
        );
        Assert.Equal(
            Enumerable.Range(0, listed.Classes.Length),
            listed.Classes.Select(c => c.Index)
        );
    }

    [Theory]
    // Two picofarads are left of a capacitor, or a twentieth of a small one.
    [InlineData("22n", 1e-15, 2e-12)]
    [InlineData("10p", 1e-15, 0.5e-12)]
    public void Capacitor_Open_LeavesStrayCapacitance(string farads, double low, double high)
    {
        var listed = new Listed($"V1 in 0 12\nR1 in a 10k\nR2 a 0 10k\nC1 in a {farads}");
        var parameter = listed.Parameter(ParameterKind.Value, "C1");

        var open = listed["C1 open"];

        Assert.Same(open, listed["C1 pin 1: joint open"]);
        Assert.Same(open, listed["C1 pin 2: joint open"]);
        Assert.Equal(low, open.Range.Low, 1e-18);
        Assert.Equal(high, open.Range.High, 1e-18);
        Assert.Equal(new Direction(parameter, -1, -1, -1, -1), open.Direction);
        Assert.Equal(parameter, Assert.Single(open.Alterations).A);
        listed.AssertJoins("C1 short", "in", "a");
        listed.AssertJoins("C1 leaky", "in", "a");
        Assert.Equal((20, 3e8), (listed["C1 leaky"].Range.Low, listed["C1 leaky"].Range.High));
        Assert.False(listed.Has("C1 dried out"));
        Assert.Equal(0.777 / 0.555, listed.Share("C1 open") / listed.Share("C1 short"), 9);
    }

    [Fact]
    public void Electrolytic_DriedOut_KeepsUpToHalfOfItsValue()
    {
        var listed = new Listed("V1 in 0 12\nR1 in a 10k\nR2 a 0 10k\nC1 a 0 47u");

        var dried = listed["C1 dried out"];

        Assert.Equal(
            (0.47e-6, 23.5e-6),
            (Math.Round(dried.Range.Low, 12), Math.Round(dried.Range.High, 12))
        );
        Assert.Equal(-1, dried.Direction.Sign);
        var joint = listed["C1 pin 2: bad joint"];
        Assert.Equal(AlterationKind.Break, Assert.Single(joint.Alterations).Kind);
        Assert.Equal((300, 1e7), (joint.Range.Low, joint.Range.High));
    }

    [Fact]
    public void Winding_OpenOrAJointOpen_BreaksItsCurrent()
    {
        var listed = new Listed("V1 in 0 12\nR1 in a 10k\nR2 a 0 10k\nL1 in a 10");

        var open = listed["L1 open"];

        Assert.Same(open, listed["L1 pin 1: joint open"]);
        Assert.Same(open, listed["L1 pin 2: joint open"]);
        Assert.Equal(AlterationKind.Break, Assert.Single(open.Alterations).Kind);
        Assert.Equal(new Direction(-1, -1, listed.Node("in"), listed.Node("a"), 0), open.Direction);
        var joint = listed["L1 pin 1: bad joint"];
        Assert.Same(joint, listed["L1 pin 2: bad joint"]);
        Assert.Equal((300, 1e8), (joint.Range.Low, joint.Range.High));
    }

    /// <summary>In every sample circuit, a fault is screened where it acts and toward the side that it moves to.</summary>
    [Theory]
    [MemberData(nameof(Amplifiers))]
    public void Direction_OfEveryFault_IsTheWayItActs(string sample)
    {
        var amplifier = Tests.Circuits.Amplifiers.Sample(sample);
        var listed = new Listed(amplifier);
        Assert.Equal(1, listed.Classes.Sum(c => c.Share), 9);
        foreach (var fault in listed.Classes)
        {
            var name = fault.Identities[0].Fault.Describe();
            var (parameter, second, a, b, sign, downhill) = fault.Direction;
            var mine = fault
                .Alterations.Where(x => x.Kind == AlterationKind.Parameter && x.A == parameter)
                .ToArray();
            if (parameter >= 0)
            {
                Assert.True((a, b) == (-1, -1), name);
                // Only a tube has a second: its screen's current goes with its plate's.
                Assert.True(
                    second == -1
                        || amplifier.FindPart(fault.Identities[0].Fault.Part)!.Class
                            == PartClass.Tube,
                    name
                );
                Assert.True(second != parameter, name);
            }
            else
            {
                Assert.True(parameter == -1 && second == -1, name);
                Assert.True(a >= 0 && b >= 0 && a != b, name);
            }
            Assert.Equal(fault.Alterations[0].Kind != AlterationKind.Inject, downhill);
            foreach (var set in mine)
            {
                var nominal = listed.Compiled.Parameters[parameter].Nominal;
                foreach (var value in fault.Range.Grid.Where(_ => sign != 0))
                {
                    Assert.True(Math.Sign(set.Coefficient * value - nominal) == sign, name);
                }
            }
            if (fault.Alterations is [{ Kind: AlterationKind.Bridge } bridge])
            {
                listed.AssertJoins(
                    name,
                    listed.Circuit.Nodes[bridge.A].Name,
                    listed.Circuit.Nodes[bridge.B].Name
                );
            }
            Assert.All(fault.Range.Grid, v => Assert.InRange(v, fault.Range.Low, fault.Range.High));
        }
    }

    public static TheoryData<string> Amplifiers => Tests.Circuits.Amplifiers.Samples;
}
