using Bunit;
using NetAudit.Bench.Circuits;
using NetAudit.Bench.Components.Practice;
using NetAudit.Bench.Sessions;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Bench.Tests.Components;

/// <summary>A hidden fault is searched for with readings, and the points follow what it took.</summary>
public sealed class PracticeViewTests : IDisposable
{
    private readonly BunitContext _context = new();
    private readonly PreparedCircuit _circuit = new(
        CircuitSource.Take(Repository.File("sample-circuits/marram-5.cir")).Source!
    );

    public PracticeViewTests() => _context.JSInterop.Mode = JSRuntimeMode.Loose;

    public void Dispose()
    {
        _context.Dispose();
        _circuit.Dispose();
    }

    [Fact]
    public void Places_AreMeasured_AsTypedOrPressed()
    {
        var run = PracticeRun.Begin(_circuit, "marram-5", 1, 7).Run!;
        var meter = _context.Render<PracticeMeter>(p => p.Add(m => m.Run, run));

        meter.Find("#reading").Input("p1");
        meter.Find("form").Submit();
        meter.FindAll("button.point")[1].Click();
        meter.Find("#reading").Input("out ac");
        meter.Find("form").Submit();

        Assert.Equal(3, run.Taken.Length);
        Assert.Equal(3, meter.FindAll("tbody tr").Count);
        meter.Find("#reading").Input("nowhere");
        meter.Find("form").Submit();
        Assert.Contains("nowhere", meter.Find(".problem").TextContent, StringComparison.Ordinal);
        Assert.Equal(3, run.Taken.Length);
    }

    [Fact]
    public void WrongNameCosts_RightNameEnds_AndPointsAreCounted()
    {
        var hidden = Hidden(seed: 7);
        var run = PracticeRun.Begin(_circuit, "marram-5", 1, 7).Run!;
        Assert.Null(run.Take("p1"));
        var verdict = _context.Render<PracticeVerdict>(p =>
            p.Add(v => v.Run, run).Add(v => v.Faults, 1).Add(v => v.Next, "/practice/marram-5/1/8")
        );

        verdict.Find("#named-0").Change(hidden == "R1" ? "R2" : "R1");
        verdict.Find("form").Submit();
        Assert.Equal(1, run.WrongNames);
        Assert.Empty(run.Hidden);
        verdict.Find("#named-0").Change(hidden);
        verdict.Find("form").Submit();

        verdict.WaitForElement(".score", TimeSpan.FromMinutes(5));
        Assert.True(run.IsFound);
        Assert.Equal(80, run.Score!.Points);
        Assert.Contains("80 points", verdict.Find(".score").TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public void Looking_ShowsSuspects_AndCounts()
    {
        var run = PracticeRun.Begin(_circuit, "marram-5", 1, 7).Run!;
        run.Take("p1");

        var answer = run.Look();

        Assert.NotEmpty(answer.Suspects);
        Assert.Equal(1, run.Looks);
    }

    [Fact]
    public void Runs_AreFoundByTheirKeyUntilTooManyFollowed()
    {
        var runs = new PracticeRuns();
        var run = PracticeRun.Begin(_circuit, "marram-5", 1, 7).Run!;
        var other = PracticeRun.Begin(_circuit, "marram-5", 1, 8).Run!;
        var key = runs.Keep(run);
        for (var i = 1; i < PracticeRuns.Most; i++)
        {
            runs.Keep(other);
        }

        Assert.Same(run, runs.Find(key));
        Assert.Equal(("marram-5", 1, 7), run.Unit);
        runs.Keep(other);
        Assert.Null(runs.Find(key));
        Assert.Null(runs.Find(null));
        Assert.Null(runs.Find("0123456789abcdef"));
    }

    private string Hidden(int seed)
    {
        var run = PracticeRun.Begin(_circuit, "marram-5", 1, seed).Run!;
        run.GiveUp();
        return run.Hidden[0].Part;
    }
}
