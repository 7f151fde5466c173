using Bunit;
using Microsoft.Extensions.DependencyInjection;
using NetAudit.Bench.Circuits;
using NetAudit.Bench.Components.Pages;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Bench.Tests.Components;

/// <summary>The page that holds variants against each other.</summary>
public sealed class ComparePageTests : IDisposable
{
    private readonly BunitContext _context = new();
    private readonly TemporaryFolder _folder = new();
    private readonly JobStore _store;

    public ComparePageTests()
    {
        _store = JobStore.Open(_folder.File("jobs.db"), TimeProvider.System).Store!;
        _context.Services.AddSingleton(
            new CircuitShelf(_store, Repository.File("sample-circuits"))
        );
    }

    public void Dispose()
    {
        _context.Dispose();
        _store.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public void Choice_ChangedWhileComparing_IsWhatIsShown()
    {
        var page = _context.Render<ComparePage>();
        page.FindAll("input[type=checkbox]")[0].Change(true);
        page.Find("form").Submit();
        page.FindAll("input[type=checkbox]")[1].Change(true);
        page.Find("form").Submit();

        page.WaitForElement("#summary-title", TimeSpan.FromSeconds(60));

        // A and the two against it, never the one that was asked for first.
        Assert.Equal(3, page.FindAll("section[aria-labelledby=summary-title] li").Count);
        Assert.Empty(page.FindAll("[role=status]"));
    }
}
