using Microsoft.Playwright;
using Xunit;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>axe-core finds nothing in any view, light or dark; no view is wider than a tablet or a page at 200 %.</summary>
public sealed class AccessibilityTests(Chromium chromium) : IClassFixture<Chromium>
{
    private static readonly string[] Views =
    [
        "intake",
        "checks",
        "readings",
        "tubes",
        "path",
        "plots",
        "circuit",
        "work",
        "report",
    ];

    private static readonly string[] Pages =
    [
        "/",
        "/new",
        "/compare",
        "/practice",
        "/learning",
        "/shop",
    ];

    [Fact]
    public async Task EveryView_AxeFindsNothing()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var light = await chromium.OpenAsync(server);
        var job = await light.NewJobAsync(
            "Marram 20, revision A (marram-20.cir)",
            acknowledge: false
        );
        await light.ViewAsync("Readings");
        await light.Page.Locator(".gate").WaitForAsync();
        var found = (await light.ViolationsAsync()).Select(v => "cautions: " + v).ToList();
        await light
            .Page.GetByRole(AriaRole.Button, new() { Name = "I have read this" })
            .ClickAsync();
        await light.EnterAsync("p1 1818");
        await light.EnterAsync("k1 1.065");
        await light.EnterAsync("p4 270.7");
        await light.WeighedAsync();
        await using var dark = await chromium.OpenAsync(server, dark: true);

        foreach (var bench in new[] { light, dark })
        {
            foreach (var path in Views.Select(view => $"{job}/{view}").Concat(Pages))
            {
                await bench.GoAsync(path);
                await bench.Page.Locator("h1").First.WaitForAsync();
                if (path.EndsWith("readings", StringComparison.Ordinal))
                {
                    await bench.WeighedAsync();
                    await bench.Page.Locator("button.suspect").First.ClickAsync();
                    await bench.Page.Locator(".detail").WaitForAsync();
                }
                if (path.EndsWith("path", StringComparison.Ordinal))
                {
                    await bench.Page.Locator(".stage").First.ClickAsync();
                    await bench.Page.Locator(".sketch").WaitForAsync();
                }
                found.AddRange(
                    (await bench.ViolationsAsync()).Select(v =>
                        $"{path} {(bench == dark ? "dark" : "light")}: {v}"
                    )
                );
            }
        }

        Assert.Empty(found);
    }

    [Theory]
    [InlineData(768, true)]
    [InlineData(683, false)]
    public async Task EveryView_FitsATabletAndTwiceTheSize(int width, bool touch)
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server, width, 1024, touch);
        var job = await bench.NewJobAsync("Marram 50, revision A (marram-50-a.cir)");
        await bench.EnterAsync("p1 176.4");

        foreach (var path in Views.Select(view => $"{job}/{view}").Concat(Pages))
        {
            await bench.GoAsync(path);
            await bench.Page.Locator("h1").First.WaitForAsync();
            var wide = await bench.Page.EvaluateAsync<int>("document.documentElement.scrollWidth");
            Assert.True(wide <= width, $"{path} is {wide} wide");
        }
    }

    [Fact]
    public async Task Tablet_OneThumb_KeepsAReading()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server, 768, 1024, touch: true);
        await bench.NewJobAsync("Marram 20, revision A (marram-20.cir)");
        var keypad = bench.Page.Locator(".keypad");
        var at = await bench.Page.Locator(".entry .at").InnerTextAsync();

        foreach (var key in new[] { "3", "1", "0", "decimal point", "5", "keep the reading" })
        {
            await keypad.GetByRole(AriaRole.Button, new() { Name = key, Exact = true }).TapAsync();
        }

        await Assertions.Expect(bench.Page.Locator(".outcome")).ToContainTextAsync($"{at} 310.5 V");
        var small = await bench.Page.EvaluateAsync<string[]>(
            """
            [...document.querySelectorAll(".keypad button, .entry .line button, .views a")]
                .filter(e => e.getBoundingClientRect().height < 44 && e.getBoundingClientRect().height > 0)
                .map(e => e.textContent)
            """
        );
        Assert.Empty(small);
    }
}
