using Microsoft.Playwright;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>The pages beside the jobs: compare, practice, what was learnt.</summary>
public sealed class PagesTests(Chromium chromium) : IClassFixture<Chromium>
{
    [Fact]
    public async Task Compare_ShowsWhatDiffersBetweenRevisions()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server, 768, 1024);
        await bench.GoAsync("/compare");

        await bench
            .Page.Locator("#compare-first")
            .SelectOptionAsync(
                new SelectOptionValue { Label = "Marram 50, revision A (marram-50-a.cir)" }
            );
        await bench.Page.GetByLabel("Marram 50, revision B").CheckAsync();
        await bench.Page.GetByLabel("Marram 50, revision C").CheckAsync();
        await bench.Page.GetByRole(AriaRole.Button, new() { Name = "Compare" }).ClickAsync();

        await bench.Page.Locator("#summary-title").WaitForAsync(new() { Timeout = 60_000 });
        await Assertions
            .Expect(bench.Page.Locator("table").First.Locator("th[scope=col]"))
            .ToHaveTextAsync(["Part", "A", "B", "C"]);
        Assert.Empty(await bench.ViolationsAsync());
        Assert.True(await WidthAsync(bench) <= 768);
    }

    [Fact]
    public async Task Practice_FromTheFirstReadingToThePoints()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server, 768, 1024);
        await bench.GoAsync("/practice");
        Assert.Empty(await bench.ViolationsAsync());
        await bench
            .Page.Locator("#practice-circuit")
            .SelectOptionAsync(
                new SelectOptionValue { Label = "Marram 5, revision A (marram-5.cir)" }
            );
        await bench.Page.Locator("#practice-seed").FillAsync("7");
        await bench.Page.GetByRole(AriaRole.Button, new() { Name = "Begin" }).ClickAsync();
        await bench.AtAddressAsync(@"/practice/marram-5/1/7\?run=[0-9a-f]{16}$");

        await bench.Page.Locator("#reading").FillAsync("p1");
        await bench.Page.Locator("#reading").PressAsync("Enter");
        await Assertions.Expect(bench.Page.Locator(".table tbody tr")).ToHaveCountAsync(1);
        Assert.Empty(await bench.ViolationsAsync());
        Assert.True(await WidthAsync(bench) <= 768);
        // Loaded again, the page goes on where it was; the address without the run begins anew.
        await bench.Page.ReloadAsync();
        await Assertions.Expect(bench.Page.Locator(".table tbody tr")).ToHaveCountAsync(1);
        await bench.GoAsync("/practice/marram-5/1/7");
        await bench.AtAddressAsync(@"/practice/marram-5/1/7\?run=[0-9a-f]{16}$");
        await Assertions.Expect(bench.Page.Locator("#taken-title")).ToHaveTextAsync("0 readings");
        await bench.Page.GetByRole(AriaRole.Button, new() { Name = "Give up" }).ClickAsync();

        await Assertions
            .Expect(bench.Page.Locator(".score"))
            .ToHaveTextAsync("0 points", new() { Timeout = 60_000 });
    }

    [Fact]
    public async Task ClosedJob_IsLearntFrom_AndCanBeSwitchedOff()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using (var store = JobStore.Open(folder.File("jobs.db"), TimeProvider.System).Store!)
        {
            var source = CircuitSource
                .Take(Repository.File("sample-circuits/marram-20.cir"))
                .Source!;
            var model = source.Read().Amplifier!.Sheet.Title!;
            var job = store
                .Create(new Dictionary<JobField, string> { [JobField.Model] = model }, source)
                .Number;
            store.SetField(job, JobField.CausePart, "V2");
            store.SetState(job, JobState.Closed);
        }
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server, 768, 1024);
        await bench.NewJobAsync("Marram 20, revision A (marram-20.cir)");
        var note = bench.Page.Locator(".note", new() { HasText = "own closed jobs" });

        await bench.EnterAsync("p1 182");
        await bench.WeighedAsync();
        await Assertions.Expect(note).ToContainTextAsync("1 cause a tube");
        await bench.GoAsync("/learning");
        Assert.Empty(await bench.ViolationsAsync());
        await bench.Page.GetByLabel("Let closed jobs count").UncheckAsync();
        await Assertions.Expect(bench.Page.Locator(".said")).ToContainTextAsync("Only the table");

        await bench.GoAsync("/job/2/readings");
        await bench.EnterAsync("k1 1.3");
        await bench.WeighedAsync();
        await Assertions.Expect(note).ToHaveCountAsync(0);
    }

    private static Task<int> WidthAsync(BenchPage bench) =>
        bench.Page.EvaluateAsync<int>("document.documentElement.scrollWidth");
}
