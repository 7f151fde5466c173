using System.Text.Json;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Jobs;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>Confirmed causes of closed jobs count toward what is probable in other units of the model.</summary>
public sealed class ShopLearningTests : IDisposable
{
    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public void ClosedJobs_OfTheModel_Count()
    {
        using var store = _bench.Open();
        Close(store, "Marram 20", "V2");
        Close(store, " marram 20 ", "V3");
        Close(store, "Marram 20", "C8");
        Close(store, "Marram 5", "V1");
        Close(store, "Marram 20", "no such part");
        var open = Bench.NewJob(store);
        store.SetField(open, JobField.CausePart, "R3");
        var job = store.Load(Bench.NewJob(store))!;

        var experience = store.Learning.For(job)!;

        Assert.Equal(2, experience.Causes[PartClass.Tube]);
        Assert.Equal(3, experience.Total);
        Assert.Equal(5, store.Learning.Causes().Length);
    }

    [Fact]
    public void ClosedJob_IsNoEvidenceAboutItself()
    {
        using var store = _bench.Open();
        var job = Close(store, "Marram 20", "V2");

        Assert.Null(store.Learning.For(store.Load(job)!));
    }

    [Fact]
    public void ReopenedJob_CountsNoMore()
    {
        using var store = _bench.Open();
        var job = Close(store, "Marram 20", "V2");
        Assert.NotNull(store.Learning.Of("Marram 20"));

        store.SetState(job, JobState.OnBench);

        Assert.Null(store.Learning.Of("Marram 20"));
    }

    [Fact]
    public void SwitchedOff_NothingCounts_AndItStaysOff()
    {
        using (var store = _bench.Open())
        {
            Close(store, "Marram 20", "V2");
            store.Learning.Turn(false);
        }
        using var again = _bench.Open();

        Assert.False(again.Learning.IsOn);
        Assert.Null(again.Learning.Of("Marram 20"));
        again.Learning.Turn(true);
        Assert.NotNull(again.Learning.Of("Marram 20"));
    }

    [Fact]
    public void Shares_AreThoseOfADirichletDistribution()
    {
        using var store = _bench.Open();
        foreach (var part in new[] { "V2", "V3", "V2", "R3" })
        {
            Close(store, "Marram 20", part);
        }
        var experience = store.Learning.Of("Marram 20")!;
        var classes = FaultCatalogue
            .Of(Bench.Amplifier, CompiledCircuit.Compile(Bench.Amplifier.Circuit))
            .Classes;
        var table = new ExperiencedShares(Bench.Amplifier, classes).Table;

        var learnt = new ExperiencedShares(
            Bench.Amplifier,
            new ExperiencedShares(Bench.Amplifier, classes).With(experience)
        ).Table;

        Assert.Equal(1, learnt.Values.Sum(), 9);
        Assert.Equal((20 * table[PartClass.Tube] + 3) / 24, learnt[PartClass.Tube], 9);
        Assert.Equal((20 * table[PartClass.Resistor] + 1) / 24, learnt[PartClass.Resistor], 9);
        Assert.Equal(20 * table[PartClass.Capacitor] / 24, learnt[PartClass.Capacitor], 9);
    }

    [Fact]
    public void Answer_SaysThatExperienceCounts_AndMoves()
    {
        using var store = _bench.Open();
        for (var i = 0; i < 30; i++)
        {
            Close(store, "Marram 20", "V2");
        }
        var diagnoser = Diagnoser.Prepare(Bench.Amplifier).Diagnoser!;
        DiagnosisResult Of(ShopExperience? experience) =>
            diagnoser.Diagnose(
                [Bench.Read("p1 230")],
                new() { Experience = experience, MaxFaults = 1 },
                TestContext.Current.CancellationToken
            );
        double Tubes(DiagnosisResult result) =>
            result.Suspects.Where(s => s.Faults[0].Part == "V1").Sum(s => s.Probability);

        var experience = store.Learning.Of("Marram 20");

        Assert.True(Tubes(Of(experience)) > Tubes(Of(null)));
        Assert.Contains(
            Of(experience).Notes,
            note => note.Contains("30 causes a tube", StringComparison.Ordinal)
        );
        Assert.Empty(Of(null).Notes);
    }

    [Fact]
    public void Export_HoldsModelsAndCauses()
    {
        using var store = _bench.Open();
        var job = Close(store, "Marram 20", "V2");

        using var json = JsonDocument.Parse(ShopLearningJson.ToText(store.Learning));

        Assert.True(json.RootElement.GetProperty("on").GetBoolean());
        Assert.Equal(
            1,
            json.RootElement.GetProperty("models")[0]
                .GetProperty("classes")
                .GetProperty("tube")
                .GetInt32()
        );
        Assert.Equal(job, json.RootElement.GetProperty("causes")[0].GetProperty("job").GetInt64());
    }

    private long Close(JobStore store, string model, string part)
    {
        _bench.Clock.Step(TimeSpan.FromMinutes(1));
        var job = Bench.NewJob(store, model);
        store.SetField(job, JobField.CausePart, part);
        store.SetState(job, JobState.Closed);
        return job;
    }
}
