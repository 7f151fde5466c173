using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Simulation;

/// <summary>A faulted workspace against the circuit written out with the fault in it.</summary>
public class WorkspaceEditTests
{
    private const string Stage = """
        .include tubes.lib
        VHT ht 0 300
        LCH ht b 10
        RA b p 100k
        XV1 p g k 12AX7
        RG g 0 1Meg
        RK k 0 1.5k
        VB x 0 5
        VC y x 2
        RX y g 10Meg
        D1 k z DM
        RZ z 0 22k
        .model DM D(IS=1n RS=1)
        I1 0 k 20u
        """;

    [Theory]
    [InlineData("XV1", "P", 1e10, "RA b p 100k", "RA b pp 100k", "RJ pp p 1e10")]
    [InlineData("XV1", "G", 47e3, "XV1 p g k", "XV1 p gg k", "RJ g gg 47k")]
    [InlineData("XV1", "K", 1e10, "XV1 p g k", "XV1 p g kk", "RJ k kk 1e10")]
    [InlineData("D1", "a", 1e4, "D1 k z", "D1 kk z", "RJ k kk 10k")]
    [InlineData("RA", "2", 1e5, "RA b p 100k", "RA b p 200k", "")]
    [InlineData("LCH", "1", 1e10, "LCH ht b 10", "LCH hh b 10", "RJ ht hh 1e10")]
    [InlineData("VHT", "1", 2200, "VHT ht 0", "VHT hh 0", "RJ hh ht 2200")]
    [InlineData("VB", "2", 1e6, "VB x 0 5", "VB x xx 5", "RJ xx 0 1Meg")]
    [InlineData("VC", "1", 1e10, "VC y x 2", "VC yy x 2", "RJ yy y 1e10")]
    public void Break_OnePin_SolvesAsTheCircuitWithTheJointInIt(
        string owner,
        string pin,
        double ohms,
        string whole,
        string broken,
        string joint
    )
    {
        var workspace = Healthy(out var circuit, out var start);
        workspace.Break(circuit.Pin(owner, pin), ohms);
        Assert.True(workspace.Solve(start).Converged);
        // The first case moves the rest of the circuit instead of the tube, so the joint's inner side keeps the name p.
        var moved = owner == "XV1" && pin == "P" ? "p" : null;
        AssertSame(circuit, workspace, Stage.Replace(whole, broken) + "\n" + joint, moved);
    }

    [Fact]
    public void Break_SeveralPinsOfOneDevice_SolvesAsTheCircuitWithTheJointsInIt()
    {
        var workspace = Healthy(out var circuit, out var start);
        workspace.Break(circuit.Pin("XV1", "P"), 1e6);
        workspace.Break(circuit.Pin("XV1", "G"), 1e10);
        workspace.Break(circuit.Pin("XV1", "K"), 3300);
        workspace.Break(circuit.Pin("VHT", "1"), 1e4);
        workspace.Break(circuit.Pin("LCH", "2"), 4700);
        workspace.Bridge(circuit.FindNode("z"), circuit.FindNode("y"), 1e5);
        workspace.Inject(0, circuit.FindNode("p"), 1e-4);
        Assert.True(workspace.Solve(start).Converged);
        AssertSame(
            circuit,
            workspace,
            Stage
                .Replace("XV1 p g k", "XV1 jp jg jk")
                .Replace("VHT ht 0", "VHT jv 0")
                .Replace("LCH ht b", "LCH ht jl")
                + """

                RJ1 p jp 1Meg
                RJ2 g jg 1e10
                RJ3 k jk 3300
                RJ4 jv ht 10k
                RJ5 jl b 4700
                RB z y 100k
                IX 0 p 100u
                """
        );
    }

    // VC stands on VB: with VB's joint open both float, and what meets them there must be solved with their unknown.
    [Theory]
    [InlineData("z", "y", "RB z y 100k")]
    [InlineData("x", "g", "RB x g 100k")]
    public void Bridge_ToASourceBehindAnOpenJoint_SolvesAsTheCircuit(
        string first,
        string second,
        string bridge
    )
    {
        var workspace = Healthy(out var circuit, out var start);
        workspace.Break(circuit.Pin("VB", "2"), 1e10);
        workspace.Bridge(circuit.FindNode(first), circuit.FindNode(second), 1e5);
        Assert.True(workspace.Solve(start).Converged);
        AssertSame(
            circuit,
            workspace,
            Stage.Replace("VB x 0 5", "VB x xx 5") + $"\nRJ xx 0 1e10\n{bridge}"
        );
    }

    [Theory]
    [InlineData("x")]
    [InlineData("y")]
    public void Inject_IntoASourceBehindABadJoint_SolvesAsTheCircuit(string node)
    {
        var workspace = Healthy(out var circuit, out var start);
        workspace.Inject(0, circuit.FindNode(node), 1e-6);
        workspace.Break(circuit.Pin("VB", "2"), 1e6);
        Assert.True(workspace.Solve(start).Converged);
        AssertSame(
            circuit,
            workspace,
            Stage.Replace("VB x 0 5", "VB x xx 5") + $"\nRJ xx 0 1Meg\nIX 0 {node} 1u"
        );
    }

    [Fact]
    public void Break_SourceUponASource_FloatsEachOnItsOwn()
    {
        var workspace = Healthy(out var circuit, out var start);
        workspace.Break(circuit.Pin("VB", "1"), 1e6);
        workspace.Break(circuit.Pin("VC", "2"), 2e6);
        workspace.Break(circuit.Pin("VC", "1"), 3e6);
        workspace.Inject(0, circuit.FindNode("x"), 1e-6);
        Assert.True(workspace.Solve(start).Converged);
        AssertSame(
            circuit,
            workspace,
            Stage.Replace("VB x 0 5", "VB xx 0 5").Replace("VC y x 2", "VC yy xy 2")
                + "\nRJ1 xx x 1Meg\nRJ2 xy x 2Meg\nRJ3 yy y 3Meg\nIX 0 x 1u"
        );
    }

    [Fact]
    public void Break_BothPinsOfAResistor_AddsBothJoints()
    {
        var workspace = Healthy(out var circuit, out var start);
        workspace.Break(circuit.Pin("RA", "1"), 47e3);
        workspace.Break(circuit.Pin("RA", "2"), 53e3);
        Assert.True(workspace.Solve(start).Converged);
        AssertSame(circuit, workspace, Stage.Replace("RA b p 100k", "RA b p 200k"));
    }

    [Fact]
    public void Break_OnePinTwice_IsRefusedButABridgeThereIsNot()
    {
        var workspace = Healthy(out var circuit, out _);
        var pin = circuit.Pin("XV1", "G");
        // A bridge or a current whose second node has the number of the pin is no joint.
        workspace.Bridge(circuit.FindNode("p"), pin, 1e6);
        workspace.Inject(0, pin, 1e-9);
        workspace.Break(pin, 1e6);

        Assert.Throws<InvalidOperationException>(() => workspace.Break(pin, 1e5));
    }

    [Fact]
    public void Edit_BeyondTheEighth_IsRefused()
    {
        var workspace = Healthy(out var circuit, out _);
        for (var i = 0; i < 8; i++)
        {
            Assert.Equal(i, workspace.Inject(0, circuit.FindNode("p"), 1e-9));
        }

        Assert.Throws<InvalidOperationException>(() => workspace.Inject(0, 1, 1e-9));
        Assert.Throws<ArgumentOutOfRangeException>(() => workspace.SetEdit(8, 1));
    }

    [Fact]
    public void SetEdit_AnotherValue_IsWhatTheNextSolveTakes()
    {
        var workspace = Healthy(out var circuit, out var start);
        var joint = workspace.Break(circuit.Pin("XV1", "K"), 100);
        var bridge = workspace.Bridge(circuit.FindNode("g"), 0, 1e9);
        Assert.True(workspace.Solve(start).Converged);
        workspace.SetEdit(joint, 3300);
        workspace.SetEdit(bridge, 1e5);
        Assert.Equal((3300, 1e5), (workspace.EditValue(joint), workspace.EditValue(bridge)));
        Assert.True(workspace.Solve(start).Converged);
        AssertSame(
            circuit,
            workspace,
            Stage.Replace("XV1 p g k", "XV1 p g kk") + "\nRJ k kk 3300\nRB g 0 100k"
        );
    }

    [Fact]
    public void Bridge_ZeroOhms_JoinsTheNodesExactly()
    {
        var workspace = Healthy(out var circuit, out var start);
        workspace.Bridge(circuit.FindNode("g"), circuit.FindNode("k"), 0);
        workspace.Bridge(circuit.FindNode("k"), circuit.FindNode("g"), 0);
        Assert.True(workspace.Solve(start).Converged);
        Assert.Equal(
            workspace.Volts[circuit.FindNode("g")],
            workspace.Volts[circuit.FindNode("k")],
            1e-9
        );
        AssertSame(circuit, workspace, Stage + "\nRB g k 1u");
    }

    [Fact]
    public void Restore_AfterEdits_GivesTheHealthySolutionBack()
    {
        var workspace = Healthy(out var circuit, out var start);
        workspace.Break(circuit.Pin("XV1", "P"), double.PositiveInfinity);
        workspace.Break(circuit.Pin("VHT", "1"), double.PositiveInfinity);
        workspace.Set(workspace.Circuit.FindParameter(ParameterKind.Value, 2), 1e3);
        Assert.True(workspace.Solve(start).Converged);
        workspace.Restore();
        Assert.True(workspace.Solve(start).Converged);
        for (var node = 0; node < start.Length; node++)
        {
            Assert.Equal(start[node], workspace.Volts[node], 1e-9 * (1 + Math.Abs(start[node])));
        }
    }

    [Fact]
    public void BranchAmps_FoldedAndFloating_ObeyKirchhoff()
    {
        var workspace = Healthy(out var circuit, out var start);
        Assert.True(workspace.Solve(start).Converged);
        var volts = workspace.Volts.ToArray();
        var plate = (volts[circuit.FindNode("b")] - volts[circuit.FindNode("p")]) / 100e3;
        Assert.Equal(-plate, workspace.BranchAmps(circuit.FindElement("VHT")), 1e-9);
        Assert.Equal(plate, workspace.BranchAmps(circuit.FindElement("LCH")), 1e-9);
        var bias = (volts[circuit.FindNode("y")] - volts[circuit.FindNode("g")]) / 10e6;
        Assert.Equal(-bias, workspace.BranchAmps(circuit.FindElement("VC")), 1e-12);
        Assert.Equal(-bias, workspace.BranchAmps(circuit.FindElement("VB")), 1e-12);
    }

    private static Workspace Healthy(out Circuit circuit, out double[] start)
    {
        circuit = Netlist.Read(Stage);
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        Assert.True(workspace.Solve([]).Converged);
        start = workspace.Volts.ToArray();
        return workspace;
    }

    private static void AssertSame(
        Circuit circuit,
        Workspace workspace,
        string cards,
        string? moved = null
    )
    {
        var written = Netlist.Read(cards);
        var point = new OperatingPointSolver().Solve(written);
        Assert.True(point.Converged);
        Assert.InRange(point.Residual, 0, 1e-9);
        foreach (var node in circuit.Nodes)
        {
            var name = node.Name == moved ? moved + moved : node.Name;
            var expected = point.Volts(written, name);
            var actual = workspace.Volts[node.Index];
            Assert.True(
                Math.Abs(expected - actual) < 1e-6 * (1 + Math.Abs(expected)),
                $"{node.Name}: {actual:g9} against {expected:g9}"
            );
        }
    }
}
