using System.Globalization;
using System.Text.RegularExpressions;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.NextReadings;
using NetAudit.Expectations;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

public sealed class NextReadingTests
{
    private static readonly DiagnosisOptions Options = new() { MaxFaults = 2, WithNext = true };

    [Fact]
    public void Next_AfterOneReading_IsProposedWithReasonOutcomesAndCaution()
    {
        var bench = new SimulatedBench("marram-20", ("R8 open", null));

        var result = bench.Diagnose([bench.Take("p2")], Options);

        Assert.NotEmpty(result.Next);
        Assert.All(
            result.Next,
            next =>
            {
                Assert.InRange(next.GainBits, 0.05, 10);
                Assert.NotEqual(1, next.Outcomes.Length);
                Assert.NotEmpty(next.Caution);
                Assert.False(next is { At: "p2", Kind: ReadingKind.Dc });
            }
        );
        Assert.NotEmpty(result.Next[0].Outcomes);
        var worth = result.Next.Select(next => next.GainBits / next.Cost).ToArray();
        Assert.Equal(worth.OrderDescending(), worth);
    }

    [Fact]
    public void Next_PlaceWhereASuspectPutsMoreVolts_TellsThese()
    {
        var healthy = new SimulatedBench("marram-20").Take("p3").Value;
        var cold = new SimulatedBench("marram-20", ("V2 not heated", null)).Take("p3").Value;
        var bench = new SimulatedBench("marram-20", ("XV2B dead", null));

        var result = bench.Diagnose([bench.Take("k4")], Options);

        var next = Assert.Single(result.Next, next => next is { At: "p3", Kind: ReadingKind.Dc });
        Assert.StartsWith("splits V2 not heated", next.Why, StringComparison.Ordinal);
        var told = Regex.Match(next.Caution, @"Up to about (\d+) V").Groups[1].Value;
        Assert.InRange(cold, 1.2 * healthy, 2 * healthy);
        Assert.InRange(double.Parse(told, CultureInfo.InvariantCulture), 0.99 * cold, 1.05 * cold);
    }

    [Fact]
    public void Touched_PlaceThatReadsHigh_IsWhatWasRead()
    {
        var bench = new SimulatedBench("marram-20", ("XV2B dead", null));
        Reading[] taken = [bench.Take("p4")];
        var candidates = CandidateList.Of(bench.Healthy, taken, null, default).Single();

        var volts = TouchedVolts.Known(bench.Healthy, candidates, taken, default);

        double At(Predicate<ReadingCandidate> which) => volts[candidates.ToList().FindIndex(which)];
        Assert.Equal(taken[0].Value, At(c => c is { At: "p4", Kind: ReadingKind.Ac }));
        // The generator's clip touches the splitter's grid, where a healthy unit has 56.7 V with no meter on it.
        Assert.Equal(
            56.7,
            At(c => c.Scene.Condition.Terms.Any(t => t is SignalInjected { Name: "gs" })),
            0.1
        );
    }

    [Fact]
    public void Next_AsTyped_IsAReadingOfThatPlaceAndCondition()
    {
        var bench = new SimulatedBench("marram-20", ("C6 open", null));
        string[] lines = ["p2", "k2", "p3", "out ac"];

        var result = bench.Diagnose(lines.Select(bench.Take), Options);

        Assert.NotEmpty(result.Next);
        Assert.All(
            result.Next,
            next =>
            {
                var value = next.Kind == ReadingKind.Listen ? "weak" : "1";
                var line = next.Typed.Before + value + next.Typed.After;
                var read = TypedReading.Read(line, bench.Amplifier);
                Assert.Empty(read.Diagnostics);
                var reading = Assert.Single(read.Readings);
                Assert.Equal((next.Kind, next.Condition), (reading.Kind, reading.Condition));
            }
        );
    }

    [Theory]
    [InlineData("marram-5")]
    [InlineData("marram-20")]
    [InlineData("marram-50-a")]
    [InlineData("marram-line")]
    public void Candidates_AsTyped_AreReadingsOfTheirPlaces(string sample)
    {
        // C1 of marram-line lies between in and b1; its node c1 is elsewhere.
        var bench = new SimulatedBench(sample);
        var candidates = CandidateList
            .Of(bench.Healthy, [], null, TestContext.Current.CancellationToken)
            .Single();

        Assert.All(
            candidates.Where(c => c.Kind == ReadingKind.Ohms),
            c =>
            {
                var typed = TypedReading.Read($"{c.At} ohms 1 @ off", bench.Amplifier);
                var reading = Assert.Single(typed.Readings);
                Assert.Equal((c.Row.Node, c.Row.RefNode), (reading.Node, reading.RefNode));
            }
        );
    }

    [Fact]
    public void Candidates_FedInFurtherOn_NeedMoreSignal()
    {
        var bench = new SimulatedBench("marram-20");
        var candidates = CandidateList
            .Of(bench.Healthy, [], null, TestContext.Current.CancellationToken)
            .Single();

        double Volts(string node) =>
            candidates
                .Single(c =>
                    c.Scene.Condition.Terms.OfType<SignalInjected>().Any(i => i.Name == node)
                )
                .Scene.Signal!.Volts;
        // A healthy unit has 0.5 mV at its input, 2 mV behind the tone network, 1.9 V at the splitter.
        Assert.InRange(Volts("w1"), 1e-3, 2e-3);
        Assert.InRange(Volts("gs"), 0.5, 2);
        Assert.All(
            candidates.Where(c => c.Kind == ReadingKind.Ac),
            c => Assert.False(bench.Healthy.DrivenIn(c.Scene, default)!.Differs(c.Row.Node))
        );
        // 0.5 mV is a quarter of the noise: read at ten times that.
        Assert.Equal(
            5e-3,
            candidates.First(c => c is { At: "g1", Kind: ReadingKind.Ac }).Scene.Signal!.Volts,
            6
        );
    }

    [Fact]
    public void Next_NothingButAComplaint_IsProposed()
    {
        var bench = new SimulatedBench("marram-20");

        var result = bench.Diagnose([], Options with { Complaint = "hums" });

        Assert.NotEmpty(result.Suspects);
        Assert.NotEmpty(result.Next);
    }

    [Fact]
    public void Next_UnitThatBlowsFuses_IsMeasuredWithThePowerOffUntilItWasOn()
    {
        var bench = new SimulatedBench("marram-20");
        var options = Options with { Complaint = Complaints.BlowsFuse };

        var first = bench.Diagnose([], options);
        var later = bench.Diagnose([bench.Take("p2")], options);

        Assert.All(
            later.Next.Where(next => !next.Condition.IsOff),
            next => Assert.Contains("current limiter", next.Caution, StringComparison.Ordinal)
        );
        Assert.NotEmpty(first.Next);
        Assert.All(first.Next, next => Assert.True(next.Condition.IsOff));
        Assert.Contains(later.Next, next => !next.Condition.IsOff);
    }

    [Fact]
    public void Next_UnitThatBlowsFusesAndIsNotShort_IsBroughtUpOnLoweredMainsFirst()
    {
        var bench = new SimulatedBench("marram-20", ("V4 not heated", null));
        var options = Options with { Complaint = Complaints.BlowsFuse };
        var taken = new List<Reading>();
        var result = bench.Diagnose(taken, options);

        while (result.Next is [{ Condition.IsOff: true } next, ..] && taken.Count < 30)
        {
            taken.Add(bench.Take((next.Typed.Before + next.Typed.After).Trim()));
            result = bench.Diagnose(taken, options);
        }

        // Nominal 120 V.
        Assert.NotEmpty(result.Next);
        Assert.All(result.Next, next => Assert.Equal("mains=90", next.Condition.ToString()));
        Assert.Contains("current limiter", result.Next[0].Caution, StringComparison.Ordinal);
        Assert.Contains("mains at 90 V", NextWords.Task(result.Next[0]), StringComparison.Ordinal);

        taken.Add(bench.Take((result.Next[0].Typed.Before + result.Next[0].Typed.After).Trim()));
        result = bench.Diagnose(taken, options);

        Assert.All(
            result.Next,
            next => Assert.True(next.Condition.IsOff || next.Condition.ToString() == "mains=90")
        );
    }

    [Fact]
    public void Next_OneFaultNearlyCertainAndEveryVoltageRead_LooksForNoOtherVoltage()
    {
        var bench = new SimulatedBench("marram-20", ("R8 drifted", 300e3));

        var result = bench.Diagnose(bench.EveryVoltage(), Options);

        Assert.InRange(result.Suspects[0].Probability, 0.97, 1);
        Assert.DoesNotContain(result.Next, next => next is { Kind: ReadingKind.Dc });
    }
}
