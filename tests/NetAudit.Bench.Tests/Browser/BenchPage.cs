using System.Text.RegularExpressions;
using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>The bench page in a browser.</summary>
internal sealed class BenchPage(IPage page) : IAsyncDisposable
{
    public IPage Page { get; } = page;

    /// <summary>Goes to an address of the page and waits until it answers.</summary>
    public async Task GoAsync(string path)
    {
        await Page.GotoAsync(path);
        await ReadyAsync();
    }

    /// <summary>Waits until the page answers.</summary>
    public Task ReadyAsync() => Page.Locator("[data-ready=yes]").WaitForAsync();

    /// <summary>
    /// Waits until the page has an address. The page is swapped without a new document: a wait for navigation misses one that is over
    /// before it begins.
    /// </summary>
    /// <param name="pattern">A regular expression.</param>
    public Task AtAddressAsync(string pattern) =>
        Assertions.Expect(Page).ToHaveURLAsync(new Regex(pattern), new() { Timeout = 60_000 });

    /// <summary>Opens a job for a sample circuit, cautions acknowledged; gives its address.</summary>
    public async Task<string> NewJobAsync(string circuit, bool acknowledge = true)
    {
        await GoAsync("/new");
        await Page.GetByLabel("Model and variant")
            .SelectOptionAsync(new SelectOptionValue { Label = circuit });
        await Page.GetByRole(AriaRole.Button, new() { Name = "Open the job" }).ClickAsync();
        await AtAddressAsync("/job/[0-9]+/intake$");
        var job = new Uri(Page.Url).AbsolutePath.Replace("/intake", "", StringComparison.Ordinal);
        if (acknowledge)
        {
            await ViewAsync("Readings");
            await Page.GetByRole(AriaRole.Button, new() { Name = "I have read this" }).ClickAsync();
            await Page.Locator("#reading").WaitForAsync();
        }
        return job;
    }

    /// <summary>Goes to a view of the job.</summary>
    public Task ViewAsync(string name) =>
        Page.GetByRole(AriaRole.Navigation, new() { Name = "Views of the job" })
            .GetByRole(AriaRole.Link, new() { Name = name, Exact = true })
            .ClickAsync();

    /// <summary>Types a reading and waits until it is confirmed.</summary>
    public async Task EnterAsync(string line)
    {
        var input = Page.Locator("#reading");
        await input.FillAsync(line);
        await input.PressAsync("Enter");
        await Assertions.Expect(input).ToHaveValueAsync("");
        await Assertions.Expect(Page.Locator(".outcome")).ToContainTextAsync(line.Split(' ')[0]);
    }

    /// <summary>Waits until the answer is final.</summary>
    public Task WeighedAsync() =>
        Assertions
            .Expect(Page.Locator(".answer .progress"))
            .ToHaveTextAsync("weighed", new() { Timeout = 60_000 });

    /// <summary>What axe-core finds against WCAG 2.2 AA, in words.</summary>
    public async Task<string[]> ViolationsAsync()
    {
        var options = new AxeRunOptions
        {
            RunOnly = new RunOnlyOptions
            {
                Type = "tag",
                Values = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
            },
        };
        var result = await Page.RunAxe(options);
        return
        [
            .. result.Violations.Select(violation =>
                $"{violation.Id}: {violation.Help}: "
                + string.Join(" | ", violation.Nodes.Take(3).Select(node => node.Html))
            ),
        ];
    }

    public async ValueTask DisposeAsync() => await Page.Context.DisposeAsync();
}
