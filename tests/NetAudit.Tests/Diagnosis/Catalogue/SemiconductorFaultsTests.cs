using NetAudit.Diagnosis.Catalogue;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Catalogue;

public sealed class SemiconductorFaultsTests
{
    private const string Stage =
        "V1 c 0 12\nR1 c b 100k\nR2 c d 1k\nR3 e 0 100\n.model QN NPN(BF=100)\n.model DN D\n";

    [Fact]
    public void Transistor_ShortBetweenTerminals_IsOneOfEachPairAndAllThree()
    {
        var listed = new Listed(Stage + "Q1 d b e QN");

        listed.AssertJoins("Q1 pin c-b short", "d", "b");
        listed.AssertJoins("Q1 pin c-e short", "d", "e");
        listed.AssertJoins("Q1 pin b-e short", "b", "e");
        listed.AssertJoins("Q1 pin b-e leaky", "b", "e");
        Assert.Equal(
            (20, 1e7),
            (listed["Q1 pin b-e leaky"].Range.Low, listed["Q1 pin b-e leaky"].Range.High)
        );
        var throughout = listed["Q1 pin c-b-e short"];
        Assert.Equal(2, throughout.Alterations.Length);
        Assert.All(throughout.Alterations, a => Assert.Equal(AlterationKind.Bridge, a.Kind));
        Assert.Equal(
            new Direction(-1, -1, listed.Node("d"), listed.Node("e"), 1),
            throughout.Direction
        );
        // As often as between any two: a quarter each; leaks a third.
        Assert.Equal(listed.Share("Q1 pin c-b short"), listed.Share("Q1 pin c-b-e short"), 12);
        Assert.Equal(
            0.99 / 4 / (0.1 / 3),
            listed.Share("Q1 pin c-b short") / listed.Share("Q1 pin c-b leaky"),
            9
        );
        // The open is a third at each terminal.
        Assert.Equal(
            0.36 / 3 / 0.15,
            listed.Share("Q1 pin b open") / listed.Share("Q1 pin b: joint open"),
            9
        );
    }

    [Fact]
    public void Transistor_TwoTerminalsTied_IsNeverShortThroughout()
    {
        var listed = new Listed(Stage + "Q1 d d e QN\nR4 b 0 1k");

        Assert.False(listed.Has("Q1 pin c-b-e short"));
        Assert.False(listed.Has("Q1 pin c-b short"));
        listed.AssertJoins("Q1 pin c-e short", "d", "e");
        Assert.Same(listed["Q1 pin c-e short"], listed["Q1 pin b-e short"]);
        Assert.Equal(
            0.99 / 3 / (0.1 / 3),
            listed.Share("Q1 pin c-e short") / listed.Share("Q1 pin c-e leaky"),
            9
        );
    }

    [Fact]
    public void Transistor_Weak_HasLessGain()
    {
        var listed = new Listed(Stage + "Q1 d b e QN");
        var gain = listed.Parameter(ParameterKind.Gain, "Q1");

        var weak = listed["Q1 weak"];

        Assert.Equal(
            new Alteration(AlterationKind.Parameter, gain, 0, 1),
            Assert.Single(weak.Alterations)
        );
        Assert.Equal(new Direction(gain, -1, -1, -1, -1), weak.Direction);
        // A fiftieth of what healthy ones have at least.
        Assert.Equal((0.01, 0.5), (weak.Range.Low, weak.Range.High));
    }

    [Fact]
    public void Diode_Short_NeedsNoPin()
    {
        var listed = new Listed("V1 c 0 12\nR1 c a 1k\nD1 a 0 DN\n.model DN D\n");
        var strength = listed.Parameter(ParameterKind.Strength, "D1");

        listed.AssertJoins("D1 short", "a", "0");
        listed.AssertJoins("D1 leaky", "a", "0");
        Assert.False(listed.Has("D1 weak"));
        var open = listed["D1 pin a open"];
        Assert.Equal(new Direction(strength, -1, -1, -1, -1), open.Direction);
        Assert.Equal(AlterationKind.Break, Assert.Single(open.Alterations).Kind);
        Assert.Equal(0.784 / 0.24, listed.Share("D1 short") / listed.Share("D1 leaky"), 9);
    }
}
