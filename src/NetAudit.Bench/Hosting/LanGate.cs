using System.Collections.Concurrent;
using System.Net;
using System.Security.Cryptography;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;

namespace NetAudit.Bench.Hosting;

/// <summary>
/// On the local network a device gets in with a code that is printed where the program runs; a code lets in one device, then a new one is
/// printed. Requests from this machine need none.
/// </summary>
internal sealed class LanGate(bool isOn, TextWriter output)
{
    /// <summary>Where the code is entered.</summary>
    public const string Path = "/enter";

    private const string Cookie = "bench-device";
    private const int WrongBeforeWait = 5;

    private static readonly TimeSpan Wait = TimeSpan.FromMinutes(1);

    private readonly ConcurrentDictionary<string, bool> _devices = new();
    private readonly Lock _turn = new();
    private string _code = NewCode();
    private int _wrong;
    private DateTimeOffset _closedUntil = DateTimeOffset.MinValue;

    /// <summary>True when the page is open to the local network.</summary>
    public bool IsOn { get; } = isOn;

    /// <summary>Prints the code.</summary>
    public void Announce()
    {
        output.WriteLine($"Code for the next device: {_code}");
        output.Flush();
    }

    /// <summary>True when the request may go on.</summary>
    public bool LetsIn(HttpContext context) =>
        !IsOn
        || context.Request.Path == Path
        || (
            context.Connection.RemoteIpAddress is { } from
            && IPAddress.IsLoopback(from.IsIPv4MappedToIPv6 ? from.MapToIPv4() : from)
        )
        || (
            context.Request.Cookies.TryGetValue(Cookie, out var device)
            && _devices.ContainsKey(device)
        );

    /// <summary>A key for a device that gave the right code, or null. After some wrong ones nothing is right for a minute.</summary>
    public string? Enter(string code, DateTimeOffset now)
    {
        lock (_turn)
        {
            if (now < _closedUntil)
            {
                return null;
            }
            var given = System.Text.Encoding.UTF8.GetBytes(code.Trim());
            if (
                !CryptographicOperations.FixedTimeEquals(
                    given,
                    System.Text.Encoding.UTF8.GetBytes(_code)
                )
            )
            {
                if (++_wrong >= WrongBeforeWait)
                {
                    (_wrong, _closedUntil, _code) = (0, now + Wait, NewCode());
                    Announce();
                }
                return null;
            }
            (_wrong, _code) = (0, NewCode());
            var device = Convert.ToHexString(RandomNumberGenerator.GetBytes(32));
            _devices[device] = true;
            Announce();
            return device;
        }
    }

    /// <summary>The cookie that a device shows from then on.</summary>
    public static void Remember(HttpResponse response, string device) =>
        response.Cookies.Append(
            Cookie,
            device,
            new CookieOptions { HttpOnly = true, SameSite = SameSiteMode.Strict }
        );

    private static string NewCode() =>
        RandomNumberGenerator
            .GetInt32(100_000_000)
            .ToString("00000000", System.Globalization.CultureInfo.InvariantCulture);
}

/// <summary>The page where the code is entered: plain HTML, before anything else is served.</summary>
internal static class LanGatePages
{
    private const string Form = """
        <!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Bench page: code</title>
        <meta name="viewport" content="width=device-width, initial-scale=1">
        <style>body{font:1.2rem/1.5 sans-serif;margin:3rem auto;max-width:24rem;padding:0 1rem}
        input,button{font:inherit;padding:.5rem;width:100%;margin:.5rem 0}</style></head>
        <body><main><h1>Bench page</h1>
        <p>Enter the code that is printed where the program runs. It is good for one device.</p>
        <form method="post"><label for="code">Code</label>
        <input id="code" name="code" inputmode="numeric" autocomplete="off" autofocus>
        <button>Enter</button></form><p role="status">{0}</p></main></body></html>
        """;

    public static void MapLanGate(this IEndpointRouteBuilder app)
    {
        app.MapGet(LanGate.Path, () => Page(""));
        // No antiforgery token: the form changes nothing but the sender's own right, and the code is the secret.
        app.MapPost(
                LanGate.Path,
                async (HttpContext context, LanGate gate) =>
                {
                    var form = await context.Request.ReadFormAsync(context.RequestAborted);
                    if (
                        gate.Enter(form["code"].ToString(), DateTimeOffset.UtcNow) is not { } device
                    )
                    {
                        return Page("That is not the code. After five wrong ones wait a minute.");
                    }
                    LanGate.Remember(context.Response, device);
                    return Results.Redirect("/");
                }
            )
            .DisableAntiforgery();
    }

    private static IResult Page(string message) =>
        Results.Content(
            Form.Replace("{0}", message, StringComparison.Ordinal),
            "text/html; charset=utf-8"
        );
}
