using Microsoft.Playwright;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>Names that are meant to do harm are only shown.</summary>
public sealed class HostileTests(Chromium chromium) : IClassFixture<Chromium>
{
    private static readonly string[] Names =
    [
        "<script>window.harmed = 1</script><img src=x onerror='window.harmed = 1'>",
        "\u202Egnirts \u0627\u0644\u0639\u0631\u0628\u064A\u0629 \"'><svg onload=window.harmed=1>",
        new string('W', 10_000),
    ];

    [Fact]
    public async Task HostileNames_InEveryField_DoNoHarm()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        Fill(folder.File("jobs.db"));
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server, 1024, 800);
        var page = bench.Page;
        page.Dialog += (_, dialog) => Assert.Fail($"a dialog opened: {dialog.Message}");

        for (var number = 1; number <= Names.Length; number++)
        {
            foreach (var view in new[] { "intake", "checks", "readings", "path", "work", "report" })
            {
                await LookAsync(bench, $"/job/{number}/{view}");
            }
            await page.GotoAsync($"/files/{number}/report.html");
            Assert.False(await page.EvaluateAsync<bool>("'harmed' in window"));
            await page.GotoAsync($"/files/{number}/record.html");
            Assert.False(await page.EvaluateAsync<bool>("'harmed' in window"));
        }
        foreach (var path in new[] { "/", "/shop", "/learning", "/compare", "/practice" })
        {
            await LookAsync(bench, path);
        }
        await LookAsync(bench, "/practice/" + Uri.EscapeDataString(Names[0]) + "/1/1");
    }

    [Fact]
    public async Task HostileText_TypedIntoTheInput_IsRefusedInWords()
    {
        Assert.SkipWhen(Chromium.Missing is not null, Chromium.Missing ?? "");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        await using var bench = await chromium.OpenAsync(server);
        await bench.NewJobAsync("Marram 20, revision A (marram-20.cir)");

        await bench.Page.Locator("#reading").FillAsync("<b>p1</b> 182");
        await bench.Page.Locator("#reading").PressAsync("Enter");

        await Assertions
            .Expect(bench.Page.Locator(".entry .problem"))
            .ToContainTextAsync("<b>p1</b>");
        await Assertions.Expect(bench.Page.Locator("#reading")).ToHaveValueAsync("<b>p1</b> 182");
    }

    private static async Task LookAsync(BenchPage bench, string path)
    {
        await bench.GoAsync(path);
        await bench.Page.Locator("h1").First.WaitForAsync();
        Assert.False(await bench.Page.EvaluateAsync<bool>("'harmed' in window"), path);
        var wide = await bench.Page.EvaluateAsync<int>("document.documentElement.scrollWidth");
        Assert.True(wide <= 1024, $"{path} is {wide} wide");
    }

    private static void Fill(string path)
    {
        using var store = JobStore.Open(path, TimeProvider.System).Store!;
        var source = CircuitSource.Take(Repository.File("sample-circuits/marram-20.cir")).Source!;
        foreach (var name in Names)
        {
            var job = store.Create(new Dictionary<JobField, string>(), source).Number;
            foreach (var field in JobFields.All.Where(field => field != JobField.View))
            {
                store.SetField(job, field, name);
            }
            var note = name[..Math.Min(name.Length, 2000)];
            store.SetCheck(job, "burnt", note, name);
            store.AddStep(job, StepKind.Other, note, note, note);
            store.AddPrice(job, name, true, 1, 1);
            store.SetState(job, JobState.Closed);
            store.Acknowledge(job, NetAudit.Diagnosis.Cautions.Of(source.Read().Amplifier!));
        }
        store.SetSetting(ShopDetails.NameSetting, Names[0]);
        store.SetSetting(ShopDetails.AddressSetting, Names[1]);
    }
}
