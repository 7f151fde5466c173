using NetAudit.Diagnosis;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

public sealed class EvidenceKindTests
{
    private static readonly string[] SignalPath =
    [
        "in ac @ signal=5m",
        "g1 ac @ signal=5m",
        "p1 ac @ signal=5m",
        "w1 ac @ signal=5m",
        "p2 ac @ signal=5m",
        "k1 ac @ signal=5m",
        "k2 ac @ signal=5m",
        "g3 ac",
        "p3 ac",
        "g4 ac",
        "p4 ac",
        "g5 ac",
        "g6 ac",
        "p5 ac",
        "p6 ac",
        "out ac",
    ];

    [Theory]
    [InlineData("C6 open", "C6 open")]
    [InlineData("C9 open", "C9 open")]
    [InlineData("C1 open", "C1 open")]
    [InlineData("C5 dried out", "C5")]
    public void Diagnose_FaultThatOnlyLevelsSee_IsNamedFirst(string fault, string expected)
    {
        var bench = new SimulatedBench("marram-20", (fault, null));
        var result = bench.Diagnose(bench.EveryVoltage().Concat(SignalPath.Select(bench.Take)));
        Assert.Contains(expected, SimulatedBench.Words(result.Suspects[0]));
        Assert.True(
            result.Suspects[0].Probability > 0.8,
            string.Join(
                "; ",
                result.Suspects.Take(4).Select(s => $"{SimulatedBench.Words(s)} {s.Probability}")
            )
        );
    }

    [Fact]
    public void Diagnose_LevelOfAClippingUnit_IsLeftOutWithTheSignalThatWouldDo()
    {
        var bench = new SimulatedBench("marram-20");
        var result = bench.Diagnose([
            bench.Take("p2 ac @ signal=5m"),
            bench.Take("out ac @ signal=5m"),
        ]);
        Assert.Single(result.Readings);
        Assert.Contains("clips", result.LeftOut.Single().Reason);
        Assert.Contains("nothing clips at 1 mV", result.LeftOut.Single().Reason);
    }

    [Fact]
    public void Diagnose_FaultThatOnlyLevelsSee_IsUnseenByVoltages()
    {
        var bench = new SimulatedBench("marram-20", ("C6 open", null));
        var result = bench.Diagnose(bench.EveryVoltage());
        Assert.Equal(Verdict.WithinLimits, result.Verdict);
    }

    [Theory]
    [InlineData("R8 open")]
    [InlineData("RT1A open")]
    [InlineData("R21 open")]
    public void Diagnose_ResistancesWithThePowerOff_NameAnOpenPart(string fault)
    {
        var bench = new SimulatedBench("marram-20", (fault, null));
        string[] parts =
        [
            "R3",
            "R8",
            "R9",
            "R12",
            "R21",
            "R23",
            "R25",
            "RT1A",
            "RT1B",
            "R28",
            "R4",
        ];
        var result = bench.Diagnose(parts.Select(p => bench.Take(p + " ohms @ off")));
        Assert.Contains(fault.Split(' ')[0], SimulatedBench.Words(result.Suspects[0]));
    }

    [Fact]
    public void Take_ResistorBesideAParallelPath_ReadsLow()
    {
        // R11 (470k) has R10 (220k) and the plate side in parallel only through C6, which is open to DC: it reads its value; R14 (100)
        // has R13 and the feedback resistor through the output winding in parallel.
        var bench = new SimulatedBench("marram-20");
        Assert.InRange(bench.Take("R11 ohms @ off").Value, 468e3, 472e3);
        Assert.InRange(bench.Take("R14 ohms @ off").Value, 97, 99);
    }

    [Fact]
    public void Take_PointBehindJunctionsOnly_IsOverRange()
    {
        // Without R9 the emitters of the pair hang on their junctions, which the smallest test current turns round in Newton's method.
        var bench = new SimulatedBench("marram-line", ("R9 open", null));
        Assert.InRange(bench.Take("tp ohms @ off").Value, 30e6, double.PositiveInfinity);
    }

    [Fact]
    public void Diagnose_KnownGoodTubeCures_ClearsTheSocket()
    {
        var bench = new SimulatedBench("marram-20", ("V3 weak", 0.3));
        string[] normal = ["kk", "s5", "b1", "p5"];
        string[] swapped = ["kk @ swap V3", "s5 @ swap V3", "b1 @ swap V3", "p5 @ swap V3"];
        var before = bench.Diagnose(normal.Select(bench.Take));
        var after = bench.Diagnose(normal.Concat(swapped).Select(bench.Take));
        Assert.Contains("V3 weak", SimulatedBench.Words(after.Suspects[0]));
        Assert.NotEmpty(before.Suspects[0].Equivalents);
        Assert.Empty(after.Suspects[0].Equivalents);
    }

    [Fact]
    public void Diagnose_KnownGoodTubeChangesNothing_ClearsTheTube()
    {
        var bench = new SimulatedBench("marram-20", ("V1 pin 1: joint open", null));
        string[] lines = ["p1", "k1", "b4", "p1 @ swap V1", "k1 @ swap V1", "b4 @ swap V1"];
        var before = bench.Diagnose(lines.Take(3).Select(bench.Take));
        var after = bench.Diagnose(lines.Select(bench.Take));
        Assert.Contains("XV1A dead", SimulatedBench.Words(before.Suspects[0]));
        Assert.DoesNotContain("dead", SimulatedBench.Words(after.Suspects[0]));
    }

    [Fact]
    public void Diagnose_ReadingsOfSeveralConditions_WeighTogether()
    {
        var bench = new SimulatedBench("marram-20", ("R12 drifted", 220e3));
        string[] lines =
        [
            "p3",
            "b3",
            "p3 @ mains=85",
            "b1 @ mains=85",
            "b1 @ standby",
            "R12 ohms @ off",
        ];
        var result = bench.Diagnose(lines.Select(bench.Take));
        var fault = Assert.Single(result.Suspects[0].Faults);
        Assert.Equal("R12", fault.Part);
        Assert.InRange(fault.Value!.Value, 200e3, 240e3);
        Assert.Equal(6, result.Readings.Length);
    }

    [Fact]
    public void Diagnose_LouderFedFurtherOn_AccusesThePathBetween()
    {
        var bench = new SimulatedBench("marram-20");
        var result = bench.Diagnose([
            bench.Observe("out listen none"),
            bench.Observe("out listen normal @ inject c1"),
        ]);
        Assert.Equal(Verdict.Fault, result.Verdict);
        string[] late = ["Third gain stage", "Splitter", "Output stage"];
        var share = result.Stages.Where(s => late.Contains(s.Name)).Sum(s => s.FaultProbability);
        Assert.True(share < 0.1, $"{share}");
    }

    [Fact]
    public void Diagnose_NoiseWhenWiggled_AccusesTheJointsOfThatPart()
    {
        var bench = new SimulatedBench("marram-20");
        var options = new DiagnosisOptions { MaxFaults = 1, Complaint = "crackles" };
        var without = bench.Diagnose([], options);
        var with = bench.Diagnose([bench.Observe("R8 wiggle noisy")], options);
        double About(DiagnosisResult result) =>
            result.Suspects.Where(s => s.Faults.Any(f => f.Part == "R8")).Sum(s => s.Probability);
        Assert.True(About(with) > 4 * About(without));
    }

    [Fact]
    public void Diagnose_ComplaintOfHum_PutsTheSmoothingFirst()
    {
        var bench = new SimulatedBench("marram-20");
        var options = new DiagnosisOptions { MaxFaults = 1, Complaint = "hums" };
        var result = bench.Diagnose([], options);
        Assert.True(result.Healthy < 0.5);
        // Smoothing capacitors, heater leaks and unbalanced tubes come before all else.
        FaultMode[] usual =
        [
            FaultMode.DriedOut,
            FaultMode.Open,
            FaultMode.HeaterCathodeLeak,
            FaultMode.Weak,
        ];
        Assert.All(result.Suspects.Take(10), s => Assert.Contains(s.Faults[0].Mode, usual));
        Assert.True(
            result.Suspects.Any(s => s.Faults[0] is { Mode: FaultMode.DriedOut }),
            string.Join(
                "; ",
                result.Suspects.Select(s => $"{SimulatedBench.Words(s)} {s.Probability:0.000}")
            )
        );
    }
}
