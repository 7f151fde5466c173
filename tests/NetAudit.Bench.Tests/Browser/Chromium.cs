using Microsoft.Playwright;
using Xunit;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>One headless browser for all browser tests.</summary>
public sealed class Chromium : IAsyncLifetime
{
    private static readonly string[] Places =
    [
        "/usr/bin/chromium",
        "/usr/bin/chromium-browser",
        "/usr/bin/google-chrome",
    ];

    private const float Patience = 60_000;

    private IPlaywright? _playwright;
    private IBrowser? _browser;

    /// <summary>Why the tests cannot run, or null.</summary>
    public static string? Missing =>
        Places.Any(File.Exists)
            ? null
            : "no Chromium is installed (apt-get install chromium); CI installs it";

    public async ValueTask InitializeAsync()
    {
        if (Missing is not null)
        {
            return;
        }
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(
            new()
            {
                ExecutablePath = Places.First(File.Exists),
                Args =
                [
                    "--no-sandbox",
                    "--disable-gpu",
                    "--disable-quic",
                    "--no-first-run",
                    "--disable-background-networking",
                    "--disable-component-update",
                    "--disable-sync",
                ],
            }
        );
    }

    /// <summary>A page of its own, as on a fresh machine.</summary>
    internal async Task<BenchPage> OpenAsync(
        Server server,
        int width = 1366,
        int height = 900,
        bool touch = false,
        bool dark = false
    )
    {
        var context = await _browser!.NewContextAsync(
            new()
            {
                BaseURL = server.Address,
                ViewportSize = new() { Width = width, Height = height },
                HasTouch = touch,
                IsMobile = touch,
                ColorScheme = dark ? ColorScheme.Dark : ColorScheme.Light,
                ReducedMotion = ReducedMotion.Reduce,
            }
        );
        // Shared machines are slow at times; a page that answers is not kept waiting by this.
        context.SetDefaultTimeout(Patience);
        Assertions.SetDefaultExpectTimeout(Patience);
        return new BenchPage(await context.NewPageAsync());
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
        }
        _playwright?.Dispose();
    }
}
