using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using Microsoft.AspNetCore.Http;

namespace NetAudit.Bench.Hosting;

/// <summary>
/// Lets in only requests that name this machine as their host (a name that a stranger points here is refused), that come from this page,
/// and, on the local network, from those who entered the code. Adds the headers that keep the page to itself.
/// </summary>
internal sealed class RequestGuard(RequestDelegate next, LanGate gate)
{
    private const string Policy =
        "default-src 'self'; img-src 'self' data:; style-src 'self' 'unsafe-inline'; connect-src 'self'; object-src 'none'; "
        + "base-uri 'self'; form-action 'self'; frame-ancestors 'none'";

    private static readonly string[] Loopback = ["127.0.0.1", "localhost", "[::1]"];

    public async Task InvokeAsync(HttpContext context)
    {
        if (!IsOwnHost(context.Request.Host.Host) || !IsOwnOrigin(context.Request))
        {
            context.Response.StatusCode = StatusCodes.Status400BadRequest;
            await context.Response.WriteAsync("This address is not the bench page's own.");
            return;
        }
        if (!gate.LetsIn(context))
        {
            context.Response.Redirect(LanGate.Path);
            return;
        }
        var headers = context.Response.Headers;
        headers.ContentSecurityPolicy = Policy;
        headers.XContentTypeOptions = "nosniff";
        headers.XFrameOptions = "DENY";
        headers["Referrer-Policy"] = "no-referrer";
        await next(context);
    }

    /// <summary>Addresses of this machine on its networks.</summary>
    public static IEnumerable<string> OwnAddresses() =>
        NetworkInterface
            .GetAllNetworkInterfaces()
            .Where(network => network.OperationalStatus == OperationalStatus.Up)
            .SelectMany(network => network.GetIPProperties().UnicastAddresses)
            .Select(unicast => unicast.Address)
            .Where(address =>
                address.AddressFamily == AddressFamily.InterNetwork
                && !IPAddress.IsLoopback(address)
            )
            .Select(address => address.ToString());

    private bool IsOwnHost(string host) =>
        Loopback.Contains(host, StringComparer.OrdinalIgnoreCase)
        || (gate.IsOn && OwnAddresses().Contains(host));

    // Browsers send the origin with every request that could change something and with every web socket.
    private static bool IsOwnOrigin(HttpRequest request)
    {
        var origin = request.Headers.Origin.ToString();
        return origin.Length == 0
            || (
                Uri.TryCreate(origin, UriKind.Absolute, out var from)
                && from.Authority.Equals(
                    request.Host.ToString(),
                    StringComparison.OrdinalIgnoreCase
                )
            );
    }
}
