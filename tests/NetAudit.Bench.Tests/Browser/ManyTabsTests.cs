using Microsoft.Playwright;
using Xunit;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>Tabs share a job, and a job outlives the program.</summary>
public sealed class ManyTabsTests(Chromium chromium) : IClassFixture<Chromium>
{
    private const string Circuit = "Marram 20, revision A (marram-20.cir)";

    [Fact]
    public async Task TwoTabs_OnOneJob_ShowTheSame()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var one = await chromium.OpenAsync(server);
        await using var other = await chromium.OpenAsync(server);
        var job = await one.NewJobAsync(Circuit);
        await other.GoAsync(job + "/readings");

        await one.EnterAsync("p1 182");
        await Assertions.Expect(other.Page.Locator(".table tbody tr")).ToHaveCountAsync(1);
        await other.EnterAsync("k1 1.3");
        await Assertions.Expect(one.Page.Locator(".table tbody tr")).ToHaveCountAsync(2);
        await one.Page.GetByRole(AriaRole.Button, new() { Name = "Undo" }).ClickAsync();
        await Assertions.Expect(other.Page.Locator(".table tbody tr")).ToHaveCountAsync(1);
    }

    [Fact]
    public async Task ServerKilled_AndStartedAgain_NothingIsLost()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        var server = await Server.StartAsync(folder.File("jobs.db"));
        var port = new Uri(server.Address).Port;
        await using var bench = await chromium.OpenAsync(server);
        await bench.NewJobAsync(Circuit);
        await bench.EnterAsync("p1 182");
        await bench.EnterAsync("k1 1.065");

        server.Kill();
        server.Dispose();
        await Assertions
            .Expect(bench.Page.Locator("#components-reconnect-modal"))
            .ToBeVisibleAsync(new() { Timeout = 30_000 });
        using var again = await Server.StartAsync(folder.File("jobs.db"), port);

        // The page finds the program again by itself, in the view where it was.
        await Assertions
            .Expect(bench.Page.Locator(".table tbody tr"))
            .ToHaveCountAsync(2, new() { Timeout = 60_000 });
        await Assertions
            .Expect(bench.Page.Locator("#components-reconnect-modal"))
            .ToBeHiddenAsync(new() { Timeout = 60_000 });
        await bench.EnterAsync("b4 257");
        await Assertions.Expect(bench.Page.Locator(".table tbody tr")).ToHaveCountAsync(3);
    }

    [Fact]
    public async Task Job_OpensWhereItWasLeft()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server);
        await bench.NewJobAsync(Circuit);
        await bench.ViewAsync("Tube bases");
        await bench.Page.Locator(".base").First.WaitForAsync();

        await bench.GoAsync("/");
        await bench.Page.Locator("a.job").ClickAsync();

        await bench.Page.Locator(".base").First.WaitForAsync();
    }
}
