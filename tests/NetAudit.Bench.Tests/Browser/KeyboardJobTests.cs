using System.Globalization;
using System.Text.RegularExpressions;
using Microsoft.Playwright;
using Xunit;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>A whole job without a mouse: from intake to the printed report.</summary>
public sealed partial class KeyboardJobTests(Chromium chromium) : IClassFixture<Chromium>
{
    /// <summary>More stops than any view of the page has.</summary>
    private const int MostStops = 400;

    [Fact]
    public async Task Marram50_FromIntakeToPrintedReport()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server);
        var page = bench.Page;
        await bench.GoAsync("/");

        await TabToAsync(page, "a", "New job");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator("#circuit").WaitForAsync();
        await TabToAsync(page, "#circuit");
        await page.Keyboard.TypeAsync("Marram 50, revision A");
        await TabToAsync(page, "#complaint");
        await page.Keyboard.TypeAsync("no sound");
        await TabToAsync(page, "#owner-words");
        await page.Keyboard.TypeAsync("The lead channel died on stage.");
        await TabToAsync(page, "button", "Open the job");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator("#field-serial").WaitForAsync();
        await TabToAsync(page, "#field-serial");
        await page.Keyboard.TypeAsync("M50-0007");

        await TabToAsync(page, "a", "First checks");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator("#check-0-0").WaitForAsync();
        await TabToAsync(page, "#check-0-0");
        await page.Keyboard.PressAsync("Space");
        await Assertions.Expect(page.Locator("#check-0-0")).ToBeCheckedAsync();

        await TabToAsync(page, "a", "To the readings");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator(".gate").WaitForAsync();
        await TabToAsync(page, "button", "I have read this and work by it");
        await page.Keyboard.PressAsync("Enter");

        await Assertions.Expect(page.Locator("#reading")).ToBeFocusedAsync();
        await TypeReadingsAsync(page, "marram-50-a-unit1", 20);
        await bench.WeighedAsync();
        await TabToAsync(page, ".suspect");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator(".detail").WaitForAsync();

        await TabToAsync(page, "a", "Work done", backwards: true);
        await page.Keyboard.PressAsync("Enter");
        await page.Locator("#step-part").WaitForAsync();
        await TabToAsync(page, "#step-part");
        await page.Keyboard.TypeAsync("R12");
        await TabToAsync(page, "#step-text");
        await page.Keyboard.TypeAsync("was open");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator(".lines li").WaitForAsync();
        await TabToAsync(page, "#field-found");
        await page.Keyboard.TypeAsync("One part of the lead channel had failed.");
        await TabToAsync(page, "#price-text");
        await page.Keyboard.TypeAsync("Bench time");
        await TabToAsync(page, "#price-each");
        await page.Keyboard.TypeAsync("60");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator(".total").WaitForAsync();

        await TabToAsync(page, "a", "Report", backwards: true);
        await page.Keyboard.PressAsync("Enter");
        await page.Locator(".ready").WaitForAsync();
        await TabToAsync(page, "a", "Owner's report");
        var opened = page.Context.WaitForPageAsync();
        await page.Keyboard.PressAsync("Enter");
        var report = await opened;
        await report.WaitForLoadStateAsync();

        var text = await report.Locator("body").InnerTextAsync();
        Assert.Contains("The lead channel died on stage.", text, StringComparison.Ordinal);
        Assert.Contains("M50-0007", text, StringComparison.Ordinal);
        Assert.Contains("Replaced R12: was open", text, StringComparison.Ordinal);
        Assert.Contains("One part of the lead channel had failed.", text, StringComparison.Ordinal);
        Assert.Contains("60.00", text, StringComparison.Ordinal);
        var printed = await report.PdfAsync(new() { Format = "A4" });
        Assert.Equal("%PDF"u8.ToArray(), printed[..4]);
        Assert.InRange(Pages().Count(System.Text.Encoding.Latin1.GetString(printed)), 1, 3);
    }

    // Half of them with their point, half as a value alone at the point that is proposed.
    private static async Task TypeReadingsAsync(IPage page, string unit, int most)
    {
        var readings = File.ReadLines(Repository.File($"sample-circuits/readings/{unit}.csv"))
            .Skip(1)
            .Select(line => line.Split(','))
            .Where(cells => Math.Abs(double.Parse(cells[2], CultureInfo.InvariantCulture)) > 0.2)
            .ToDictionary(cells => cells[0], cells => cells[2]);
        var kept = 0;
        foreach (var (at, value) in readings.Take(most / 2))
        {
            await page.Keyboard.TypeAsync($"{at} {value}");
            await page.Keyboard.PressAsync("Enter");
            await Assertions.Expect(page.Locator(".table tbody tr")).ToHaveCountAsync(++kept);
        }
        for (var i = 0; i < most / 2; i++)
        {
            var at = await page.Locator(".entry .at").InnerTextAsync();
            if (!readings.TryGetValue(at, out var value))
            {
                await page.Keyboard.PressAsync("ArrowDown");
                continue;
            }
            await page.Keyboard.TypeAsync(value);
            await page.Keyboard.PressAsync("Enter");
            await Assertions.Expect(page.Locator(".table tbody tr")).ToHaveCountAsync(++kept);
        }
        Assert.True(kept > most / 2, "no value was taken at a proposed point");
    }

    private static async Task TabToAsync(
        IPage page,
        string selector,
        string? text = null,
        bool backwards = false
    )
    {
        for (var stop = 0; stop < MostStops; stop++)
        {
            var found = await page.EvaluateAsync<bool>(
                """
                ([selector, text]) => {
                    const focused = document.activeElement;
                    return focused.matches(selector) && (text === null || focused.textContent.trim() === text);
                }
                """,
                new[] { selector, text }
            );
            if (found)
            {
                return;
            }
            await page.Keyboard.PressAsync(backwards ? "Shift+Tab" : "Tab");
        }
        Assert.Fail($"the keyboard does not reach {selector} {text}");
    }

    [GeneratedRegex(@"/Type\s*/Page\b(?!s)")]
    private static partial Regex Pages();
}
