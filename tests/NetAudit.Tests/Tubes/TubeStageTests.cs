using System.Globalization;
using NetAudit.Benchmarks.TubeFits;
using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Tubes;

/// <summary>Textbook stages, solved from a cold start.</summary>
public class TubeStageTests
{
    public static TheoryData<int> PrintedStages =>
        [.. Enumerable.Range(0, FittedTubes.Data.Stages.Length)];

    // Plate currents of the tube makers' resistance-coupled tables (Data/tubes/resistance-coupled.csv, a source in each row).
    [Theory]
    [MemberData(nameof(PrintedStages))]
    public void ResistanceCoupledStage_WithPrintedCurrent_IsWithinTenPercent(int row)
    {
        var stage = FittedTubes.Data.Stages[row];
        var point = Solve(
            $"""
            stage
            .include tubes.lib
            VB b 0 {stage.Supply}
            RA b p {stage.PlateOhms}
            RG g 0 1meg
            RK k 0 {stage.CathodeOhms}
            X1 p g k {stage.Type}
            .end
            """
        );
        var amps = point("k") / stage.CathodeOhms;
        Assert.InRange(amps / stage.PlateAmps, 0.9, 1.1);
    }

    [Theory]
    [InlineData("12AX7", 300, 100e3, 1500)]
    [InlineData("12AT7", 250, 22e3, 270)]
    [InlineData("12AU7", 300, 22e3, 1000)]
    [InlineData("12AY7", 300, 100e3, 2200)]
    public void TriodeStage_FromColdStart_Settles(
        string type,
        double supply,
        double load,
        double cathode
    )
    {
        var point = Solve(
            $"""
            stage
            .include tubes.lib
            VB b 0 {supply}
            RA b p {load}
            RG g 0 1meg
            RK k 0 {cathode}
            X1 p g k {type}
            .end
            """
        );
        // A class A stage: some volts of bias, the plate between a quarter and nine tenths of the supply.
        Assert.InRange(point("k"), 0.5, 12);
        Assert.InRange(point("p"), 0.25 * supply, 0.9 * supply);
        Assert.InRange(point("g"), -0.05, 0.05);
    }

    [Theory]
    // Bounds: the cathode current of the class A point of each sheet, more or less a quarter; the load line of the EF86.
    [InlineData("EL84", 270, 250, 135, 0.040, 0.067)]
    [InlineData("EL34", 280, 150, 120, 0.086, 0.144)]
    [InlineData("6V6GT", 270, 250, 250, 0.037, 0.062)]
    [InlineData("6L6GC", 280, 150, 180, 0.058, 0.096)]
    [InlineData("KT88", 280, 100, 105, 0.107, 0.179)]
    [InlineData("6550", 280, 100, 92, 0.114, 0.190)]
    [InlineData("EF86", 300, 100e3, 1500, 0.0010, 0.0025)]
    public void PentodeStage_FromColdStart_Settles(
        string type,
        double supply,
        double load,
        double cathode,
        double leastAmps,
        double mostAmps
    )
    {
        var point = Solve(
            $"""
            stage
            .include tubes.lib
            VB b 0 {supply}
            RA b p {load}
            RS b s {(type == "EF86" ? 390e3 : 470)}
            RG g 0 470k
            RK k 0 {cathode}
            X1 p g k s {type}
            .end
            """
        );
        Assert.InRange(point("k") / cathode, leastAmps, mostAmps);
        Assert.InRange(point("p"), 0, supply);
        Assert.InRange(point("s"), 0, supply);
    }

    [Theory]
    [InlineData("5AR4")]
    [InlineData("EZ81")]
    public void Rectifier_IntoLoad_DropsSomeVolts(string type)
    {
        var point = Solve(
            $"""
            rectifier
            .include tubes.lib
            V1 a 0 300
            V2 b 0 -300
            X1 a b k {type}
            RL k 0 3k
            .end
            """
        );
        Assert.InRange(300 - point("k"), 5, 30);
    }

    // Open parts leave electrodes on their 10 Gohm leakage: nodes must settle at physical voltages, not run away. A grid that hangs free
    // settles near its cathode, which the current raises.
    [Theory]
    [InlineData("RA b p 1e10", "RS b s 470", "RG g 0 470k", "RK k 0 135", "p", -20, 60)]
    [InlineData("RA b p 250", "RS b s 1e10", "RG g 0 470k", "RK k 0 135", "s", -20, 20)]
    [InlineData("RA b p 250", "RS b s 470", "RG g 0 470k", "RK k 0 1e10", "k", 10, 80)]
    [InlineData("RA b p 250", "RS b s 470", "RG g 0 1e10", "RK k 0 135", "g", 5, 25)]
    public void PentodeStage_WithAnOpenPart_SettlesPhysically(
        string plate,
        string screen,
        string grid,
        string cathode,
        string node,
        double least,
        double most
    )
    {
        var point = Solve(
            $"""
            stage
            .include tubes.lib
            VB b 0 270
            {plate}
            {screen}
            {grid}
            {cathode}
            X1 p g k s EL84
            .end
            """
        );
        Assert.InRange(point(node), least, most);
    }

    [Fact]
    public void Tube_WithAParameterOfItsOwn_FollowsIt()
    {
        var tube = FittedTubes.Library.Triodes.Single(pair => pair.Type == "12AX7").Tube;
        var point = Solve(
            $"""
            one tube of lower amplification
            .include tubes.lib
            VP b 0 251.5
            RP b p 1k
            VG g 0 -2
            X1 p g 0 12AX7 MU=90
            .end
            """
        );
        var law = (tube with { Mu = 90 }).PlateAmps(point("p"), -2);
        law += (point("p") + 2) / TubeLaws.GridInsulation;
        Assert.Equal(law, (251.5 - point("p")) / 1e3, law * 1e-6);
    }

    internal static Func<string, double> Solve(FormattableString netlist)
    {
        var read = CircuitReader.ReadText(
            netlist.ToString(CultureInfo.InvariantCulture),
            "stage.cir",
            cancellationToken: TestContext.Current.CancellationToken
        );
        Assert.True(read.Circuit is not null, string.Join('\n', read.Diagnostics));
        var point = new OperatingPointSolver().Solve(
            read.Circuit,
            TestContext.Current.CancellationToken
        );
        Assert.True(point.Converged, $"{point.Problem}");
        Assert.InRange(point.Residual, 0, 1e-8);
        return node => point.NodeVolts[read.Circuit.FindNode(node)];
    }
}
