using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using NetAudit.Bench.Circuits;
using NetAudit.Bench.Components;
using NetAudit.Bench.Sessions;
using NetAudit.Common;
using NetAudit.Jobs;

namespace NetAudit.Bench.Hosting;

/// <summary>Serves the bench page until it is cancelled.</summary>
public static class BenchServer
{
    /// <summary>Largest request, in bytes: a job file and little more.</summary>
    private const long MostBytes = JobImport.MostBytes + 100_000;

    /// <summary>Serves. Returns what kept it from serving, or null after a regular end.</summary>
    public static async Task<Diagnostic?> RunAsync(
        BenchOptions options,
        CancellationToken cancellationToken
    )
    {
        ArgumentNullException.ThrowIfNull(options);
        var (store, problem) = JobStore.Open(options.Jobs, TimeProvider.System);
        if (store is null)
        {
            return problem;
        }
        using (store)
        {
            var shelf = new CircuitShelf(store, options.Circuits);
            if (
                shelf.Problems is [var first, ..]
                && shelf.Given.IsEmpty
                && options.Circuits is not null
            )
            {
                return first;
            }
            var port = options.Port ?? FreeOr(BenchOptions.UsualPort);
            await using var app = Build(options, store, shelf, port);
            try
            {
                await app.StartAsync(cancellationToken);
            }
            catch (IOException refused)
            {
                return new Diagnostic(
                    Severity.Error,
                    null,
                    $"port {port} cannot be used: {refused.Message}",
                    "name another with --port"
                );
            }
            await AnnounceAsync(app, options);
            await app.WaitForShutdownAsync(cancellationToken);
            return null;
        }
    }

    /// <summary>The application, not yet started.</summary>
    internal static WebApplication Build(
        BenchOptions options,
        JobStore store,
        CircuitShelf shelf,
        int port
    )
    {
        var builder = WebApplication.CreateBuilder(
            new WebApplicationOptions
            {
                ApplicationName = options.Program,
                ContentRootPath = AppContext.BaseDirectory,
            }
        );
        // Standard output is for the address; what goes wrong goes to standard error.
        builder.Logging.ClearProviders();
        builder.Logging.AddSimpleConsole();
        builder.Logging.Services.Configure<Microsoft.Extensions.Logging.Console.ConsoleLoggerOptions>(
            console => console.LogToStandardErrorThreshold = LogLevel.Trace
        );
        builder.Logging.SetMinimumLevel(LogLevel.Error);
        builder.WebHost.UseStaticWebAssets();
        builder.WebHost.UseKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = MostBytes;
            if (options.IsLan)
            {
                kestrel.ListenAnyIP(port);
            }
            else
            {
                kestrel.Listen(IPAddress.Loopback, port);
            }
        });
        builder.Services.AddSingleton(store);
        builder.Services.AddSingleton(shelf);
        builder.Services.AddSingleton<JobSessions>();
        builder.Services.AddSingleton<PracticeRuns>();
        builder.Services.AddSingleton(new LanGate(options.IsLan, options.Output));
        // Keys live as long as the process: nothing is left in the home folder.
        builder.Services.AddDataProtection().UseEphemeralDataProtectionProvider();
        builder.Services.AddAntiforgery(antiforgery =>
        {
            antiforgery.Cookie.Name = "bench-form";
            antiforgery.Cookie.SameSite = Microsoft.AspNetCore.Http.SameSiteMode.Strict;
        });
        builder.Services.AddRazorComponents().AddInteractiveServerComponents();
        var app = builder.Build();
        app.UseMiddleware<RequestGuard>();
        app.UseAntiforgery();
        app.MapStaticAssets();
        app.MapDownloads();
        app.MapLanGate();
        app.MapRazorComponents<App>().AddInteractiveServerRenderMode();
        return app;
    }

    private static async Task AnnounceAsync(WebApplication app, BenchOptions options)
    {
        var address = app
            .Services.GetRequiredService<IServer>()
            .Features.Get<IServerAddressesFeature>()!
            .Addresses.First();
        var port = new Uri(address.Replace("[::]", "127.0.0.1", StringComparison.Ordinal)).Port;
        var local = $"http://127.0.0.1:{port}/";
        await options.Output.WriteLineAsync($"The bench page is at {local}");
        await options.Output.WriteLineAsync($"Jobs are kept in {Path.GetFullPath(options.Jobs)}");
        if (options.IsLan)
        {
            foreach (var own in RequestGuard.OwnAddresses())
            {
                await options.Output.WriteLineAsync($"On the local network: http://{own}:{port}/");
            }
            app.Services.GetRequiredService<LanGate>().Announce();
        }
        await options.Output.WriteLineAsync("Ctrl-C ends it.");
        await options.Output.FlushAsync();
        if (options.OpensBrowser)
        {
            OpenBrowser(local);
        }
    }

    private static int FreeOr(int port)
    {
        try
        {
            using var listener = new TcpListener(IPAddress.Loopback, port);
            listener.Start();
            return port;
        }
        catch (SocketException)
        {
            return 0;
        }
    }

    private static void OpenBrowser(string address)
    {
        try
        {
            using var _ = Process.Start(new ProcessStartInfo(address) { UseShellExecute = true });
        }
        catch (Exception problem)
            when (problem is System.ComponentModel.Win32Exception or InvalidOperationException)
        {
            // There is no browser to open: the address is printed.
        }
    }
}
