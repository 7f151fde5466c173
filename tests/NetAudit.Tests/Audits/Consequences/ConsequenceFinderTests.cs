using System.Collections.Immutable;
using NetAudit.Audits.Consequences;
using NetAudit.Audits.Stresses;
using NetAudit.Diagnosis;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Audits.Consequences;

/// <summary>What faults do to their neighbours, worked out by hand.</summary>
public sealed class ConsequenceFinderTests
{
    private const string Divider = """
        VHT b 0 100
        RFUSE b f 0.1
        R1  f m 10k
        R2  m 0 10k
        """;

    private const string DividerSheet = """
        [rating]
        resistor = "0.4W"
        [[fuse]]
        name = "Fuse"
        element = "RFUSE"
        rating = "100mA T"
        """;

    [Fact]
    public void All_ShortedHalfOfADivider_LoadsTheOtherFourfold()
    {
        // 100 V over 10 kohm and a short of some tenths of an ohm: 1 W in R1, rated 0.4 W; it had 0.25 W.
        var one = Of(Divider, DividerSheet, "R2", FaultMode.Short);

        var overload = Assert.Single(one.Overloads);
        Assert.Equal(("R1", StressKind.Power), (overload.Item.Part, overload.Item.Kind));
        Assert.Equal(1.0, overload.Value, 3);
        Assert.Equal(0.25, overload.Healthy, 3);
        Assert.Equal(2.5, overload.Ratio, 2);
        Assert.True(double.IsInfinity(overload.Seconds));
        Assert.Empty(one.Fuses);
    }

    [Fact]
    public void Seconds_OfTheModel_AreThoseOfAnExponential()
    {
        // A half-watt resistor at ten times its limit, from half of it: 15 s times ln((10 - 0.5) / (10 - 3)).
        Assert.Equal(15 * Math.Log(9.5 / 7), Endurance.Seconds("resistor", 10, 0.5), 9);
        // A winding at three times its current makes nine times the heat: 600 s times ln((9 - 0.25) / (9 - 2.5)).
        Assert.Equal(600 * Math.Log(8.75 / 6.5), Endurance.Seconds("winding", 3, 0.5), 9);
        Assert.True(double.IsInfinity(Endurance.Seconds("resistor", 2.9, 0.5)));
    }

    [Fact]
    public void All_ShortThroughAFuse_LetsItOpenFirst()
    {
        // A shorted load: 100 V over 20 ohm is 5 A, fifty times the rating: the fuse opens within 0.3 s; R1 has 500 W of 5 W and would be
        // ruined after 60 s times ln(99.5 / 95).
        const string Cards = "VHT b 0 100\nRFUSE b f 0.1\nR1 f m 20\nR2 m 0 10k";
        const string Sheet = DividerSheet + "\n[part.R1]\npower = \"5W\"\nkind = \"wirewound\"";

        var one = Of(Cards, Sheet, "R2", FaultMode.Short);

        var overload = Assert.Single(one.Overloads);
        Assert.True(overload.Outlived);
        Assert.InRange(overload.Seconds, 1.5, 4);
        Assert.True(double.IsInfinity(one.ShortestLife));
        Assert.True(Assert.Single(one.Fuses).Opening!.Value.Opens);
    }

    [Theory]
    [InlineData("1k", true)]
    [InlineData("1Meg", false)]
    public void All_VoltageOnAJack_IsAHazardWhenItDrivesACurrent(string ohms, bool isHazard)
    {
        // 300 V behind 1 kohm drive 100 mA through a body of 2 kohm; behind 1 Mohm 0.3 mA, below the 2 mA of IEC 62368-1.
        var cards = $"VHT b 0 300\nR1 b p {ohms}\nC1 p j 22n\nR2 j 0 10Meg\nR3 p 0 10Meg";
        const string Sheet = "[[touch]]\nname = \"Jack\"\nnode = \"j\"";

        var one = Of(cards, Sheet, "C1", FaultMode.Short);

        if (!isHazard)
        {
            Assert.Empty(one.Hazards);
            return;
        }
        var hazard = Assert.Single(one.Hazards);
        Assert.Equal(
            ("Jack", TouchLevel.Dangerous, false),
            (hazard.Place, hazard.Level, hazard.IsInsulated)
        );
        Assert.Equal(300, hazard.Volts, 0.2);
        Assert.Equal(0.1, hazard.Amps, 1e-3);
    }

    [Fact]
    public void Of_SetOfFaults_IsThatOfItsSingleFault()
    {
        var finder = Finder(Divider, DividerSheet);
        var fault = new Fault("R2", FaultMode.Short);

        var one = finder.Of([fault], TestContext.Current.CancellationToken)!;

        Assert.Equal(fault, Assert.Single(one.Faults));
        Assert.Equal("R1", Assert.Single(one.Overloads).Item.Part);
        Assert.Null(
            finder.Of([new Fault("R9", FaultMode.Short)], TestContext.Current.CancellationToken)
        );
    }

    [Fact]
    public void All_OfASample_NamesTheOutputTubeBehindALeakyCouplingCapacitor()
    {
        var (finder, _) = ConsequenceFinder.Prepare(
            Amplifiers.Sample("marram-50-a.cir"),
            TestContext.Current.CancellationToken
        );

        var all = finder!.All(cancellationToken: TestContext.Current.CancellationToken);

        var leak = all.First(one => Names(one).Contains(("C15", FaultMode.Leaky)));
        Assert.Equal(("V5", StressKind.PlatePower), (leak.First!.Item.Part, leak.First.Item.Kind));
        Assert.All(all, one => Assert.True(one.Settled));
    }

    [Fact]
    public void All_Cancelled_Stops()
    {
        using var cancellation = new CancellationTokenSource();
        var progress = new Stopper(cancellation);

        Assert.Throws<OperationCanceledException>(() =>
            Finder(Divider, DividerSheet).All(progress, cancellation.Token)
        );
        Assert.Equal(1, progress.Reports);
    }

    private static Consequence Of(string cards, string sheet, string part, FaultMode mode) =>
        Finder(cards, sheet)
            .All(cancellationToken: TestContext.Current.CancellationToken)
            .Single(one => Names(one).Contains((part, mode)));

    private static ImmutableArray<(string, FaultMode)> Names(Consequence one) =>
        [.. one.Faults.AddRange(one.Alike).Select(fault => (fault.Part, fault.Mode))];

    private static ConsequenceFinder Finder(string cards, string sheet) =>
        ConsequenceFinder
            .Prepare(Amplifiers.Of(cards, sheet), TestContext.Current.CancellationToken)
            .Finder!;

    private sealed class Stopper(CancellationTokenSource cancellation) : IProgress<double>
    {
        public int Reports { get; private set; }

        public void Report(double value)
        {
            Reports++;
            cancellation.Cancel();
        }
    }
}
