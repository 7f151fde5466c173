using Microsoft.Playwright;
using Xunit;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>
/// Pictures of the main views, for the documents: NETAUDIT_PICTURES=docs/pictures and this class run writes them anew. Without it the views are
/// only looked through.
/// </summary>
public sealed class PictureTests(Chromium chromium) : IClassFixture<Chromium>
{
    /// <summary>Views that the documents show.</summary>
    private static readonly HashSet<string> Shown =
    [
        "intake",
        "cautions",
        "readings",
        "readings-dark",
        "readings-tablet",
        "tubes",
        "path",
        "sketch",
        "plots",
        "checks",
        "compare",
        "practice",
        "learnt",
    ];

    private static readonly string? Folder = Environment.GetEnvironmentVariable(
        "NETAUDIT_PICTURES"
    );

    [Fact]
    public async Task MainViews_AreDrawn()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server, 1360, 900);
        var page = bench.Page;
        var job = await bench.NewJobAsync(
            "Marram 20, revision A (marram-20.cir)",
            acknowledge: false
        );

        await page.Locator("#field-words")
            .FillAsync("It was fine last month. Now it is quiet and one side sounds thin.");
        await page.Locator("#field-complaint").SelectOptionAsync("weak");
        await page.Locator("#field-serial").FillAsync("M20-0417");
        await page.Locator("#field-serial").PressAsync("Tab");
        await TakeAsync(page, "intake");
        await bench.ViewAsync("First checks");
        await page.GetByLabel("another value fitted").First.CheckAsync();
        await page.Locator(".warning").First.WaitForAsync();
        await TakeAsync(page, "checks");
        await bench.ViewAsync("Readings");
        await page.Locator(".gate").WaitForAsync();
        await TakeAsync(page, "cautions");
        await page.GetByRole(AriaRole.Button, new() { Name = "I have read this" }).ClickAsync();
        foreach (var line in SampleReadings())
        {
            await bench.EnterAsync(line);
        }
        await bench.WeighedAsync();
        await page.Locator("button.suspect").First.ClickAsync();
        await page.Locator(".detail").WaitForAsync();
        await TakeAsync(page, "readings");
        await bench.ViewAsync("Tube bases");
        await page.Locator(".base").First.WaitForAsync();
        await TakeAsync(page, "tubes");
        await bench.ViewAsync("Signal path");
        await page.Locator(".stage").First.ClickAsync();
        await page.Locator(".stage-detail").WaitForAsync();
        await TakeAsync(page, "path");
        await page.Locator(".sketch").ScrollIntoViewIfNeededAsync();
        await TakeAsync(page, "sketch");
        await bench.ViewAsync("Plots");
        await page.Locator("img.plot").First.WaitForAsync();
        await page.Locator("img.plot").First.ScrollIntoViewIfNeededAsync();
        await TakeAsync(page, "plots");
        await bench.ViewAsync("Work done");
        await page.Locator("#field-cause-part, #field-cause_part").First.FillAsync("V3");
        await page.Locator("#step-part").FillAsync("V3");
        await page.Locator("#step-text").FillAsync("no longer heated");
        await page.Locator("#step-used").FillAsync("12AX7, new");
        await page.Locator("#step-used").PressAsync("Enter");
        await page.Locator(".lines li").First.WaitForAsync();
        await TakeAsync(page, "work");
        await bench.ViewAsync("Report");
        await page.Locator(".ready").WaitForAsync();
        await TakeAsync(page, "report");
        await page.Locator("#job-state").SelectOptionAsync("closed");
        await bench.GoAsync("/");
        await TakeAsync(page, "jobs");
        await TakePagesAsync(bench);
        // A closed job opens with the readings after the work.
        await bench.GoAsync(job + "/readings");
        await page.Locator("#job-state").SelectOptionAsync("on-bench");

        await using var dark = await chromium.OpenAsync(server, 1360, 900, dark: true);
        await dark.GoAsync(job + "/readings");
        await dark.WeighedAsync();
        await TakeAsync(dark.Page, "readings-dark");
        await dark.ViewAsync("Tube bases");
        await dark.Page.Locator(".base").First.WaitForAsync();
        await TakeAsync(dark.Page, "tubes-dark");

        await using var tablet = await chromium.OpenAsync(server, 768, 1024, touch: true);
        await tablet.GoAsync(job + "/readings");
        await tablet.WeighedAsync();
        await TakeAsync(tablet.Page, "readings-tablet");
    }

    private static async Task TakePagesAsync(BenchPage bench)
    {
        var page = bench.Page;
        await bench.GoAsync("/compare");
        await page.Locator("#compare-first")
            .SelectOptionAsync(
                new SelectOptionValue { Label = "Marram 50, revision A (marram-50-a.cir)" }
            );
        await page.GetByLabel("Marram 50, revision B").CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Compare" }).ClickAsync();
        await page.Locator("#summary-title").WaitForAsync(new() { Timeout = 60_000 });
        await page.Locator("#summary-title").ScrollIntoViewIfNeededAsync();
        await page.Locator("table").First.ScrollIntoViewIfNeededAsync();
        await TakeAsync(page, "compare");
        await bench.GoAsync("/practice/marram-20/1/7");
        foreach (var place in new[] { "p1", "k1", "out ac" })
        {
            await page.Locator("#reading").FillAsync(place);
            await page.Locator("#reading").PressAsync("Enter");
            await Assertions.Expect(page.Locator("#reading")).ToHaveValueAsync("");
        }
        await page.GetByRole(AriaRole.Button, new() { Name = "See the program's answer" })
            .ClickAsync();
        await page.GetByText("What the program makes of it").WaitForAsync();
        await TakeAsync(page, "practice");
        await bench.GoAsync("/learning");
        await TakeAsync(page, "learnt");
    }

    private static IEnumerable<string> SampleReadings() =>
        File.ReadLines(Repository.File("sample-circuits/readings/marram-20-unit1.csv"))
            .Skip(1)
            .Select(line => line.Split(','))
            .Where(cells =>
                Math.Abs(double.Parse(cells[2], System.Globalization.CultureInfo.InvariantCulture))
                > 0.5
            )
            .Select(cells => $"{cells[0]} {cells[2]}")
            .Take(14);

    private static async Task TakeAsync(IPage page, string name)
    {
        if (Folder is not null && Shown.Contains(name))
        {
            await page.Mouse.MoveAsync(0, 0);
            await page.ScreenshotAsync(
                new() { Path = Path.Combine(Repository.File(Folder), name + ".png") }
            );
        }
    }
}
