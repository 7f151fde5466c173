using System.Net;
using NetAudit.Bench.Hosting;
using Xunit;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>Strangers stay outside.</summary>
public sealed class GuardTests
{
    [Fact]
    public async Task Requests_ThatAreNotThePagesOwn_AreRefused()
    {
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        using var client = new HttpClient { BaseAddress = new Uri(server.Address) };

        Assert.Equal(HttpStatusCode.OK, await GetAsync(client, "/"));
        Assert.Equal(
            HttpStatusCode.BadRequest,
            await GetAsync(client, "/", ("Host", "bench.example"))
        );
        Assert.Equal(
            HttpStatusCode.BadRequest,
            await GetAsync(client, "/_blazor", ("Origin", "http://bench.example"))
        );
        Assert.Equal(HttpStatusCode.BadRequest, await GetAsync(client, "/", ("Origin", "null")));
        Assert.Equal(HttpStatusCode.NotFound, await GetAsync(client, "/files/1/report.html"));
        Assert.Equal(HttpStatusCode.NotFound, await GetAsync(client, "/files/1/../../jobs.db"));
        using var page = await client.GetAsync("/", TestContext.Current.CancellationToken);
        Assert.Contains(
            "default-src 'self'",
            string.Concat(page.Headers.GetValues("Content-Security-Policy")),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task LoopbackOnly_TheNetworkFindsNothing()
    {
        Assert.SkipWhen(!RequestGuard.OwnAddresses().Any(), "this machine has no network");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"));
        var port = new Uri(server.Address).Port;
        using var client = new HttpClient();

        await Assert.ThrowsAsync<HttpRequestException>(() =>
            client.GetAsync(
                $"http://{RequestGuard.OwnAddresses().First()}:{port}/",
                TestContext.Current.CancellationToken
            )
        );
    }

    [Fact]
    public async Task Lan_NeedsTheCode_OnceForEachDevice()
    {
        Assert.SkipWhen(!RequestGuard.OwnAddresses().Any(), "this machine has no network");
        using var folder = new TemporaryFolder();
        using var server = await Server.StartAsync(folder.File("jobs.db"), 0, "--lan");
        var port = new Uri(server.Address).Port;
        var address = new Uri($"http://{RequestGuard.OwnAddresses().First()}:{port}/");
        using var device = new HttpClient { BaseAddress = address };
        using var stranger = new HttpClient { BaseAddress = address };
        var code = server.Said.Split("Code for the next device: ")[^1][..8];

        Assert.Contains(
            "Enter the code",
            await device.GetStringAsync("/", TestContext.Current.CancellationToken),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "not the code",
            await EnterAsync(device, "00000000x"),
            StringComparison.Ordinal
        );
        Assert.DoesNotContain(
            "Enter the code",
            await EnterAsync(device, code),
            StringComparison.Ordinal
        );
        Assert.DoesNotContain(
            "Enter the code",
            await device.GetStringAsync("/", TestContext.Current.CancellationToken),
            StringComparison.Ordinal
        );
        Assert.Contains("not the code", await EnterAsync(stranger, code), StringComparison.Ordinal);
    }

    [Fact]
    public void LanGate_AfterFiveWrongCodes_IsClosedForAMinute()
    {
        using var output = new StringWriter();
        var gate = new LanGate(true, output);
        gate.Announce();
        var start = DateTimeOffset.UnixEpoch;
        string Code() => output.ToString().TrimEnd()[^8..];

        for (var i = 0; i < 5; i++)
        {
            Assert.Null(gate.Enter("wrong", start));
        }

        Assert.Null(gate.Enter(Code(), start.AddSeconds(59)));
        Assert.NotNull(gate.Enter(Code(), start.AddSeconds(61)));
    }

    private static async Task<string> EnterAsync(HttpClient client, string code)
    {
        using var form = new FormUrlEncodedContent([new("code", code)]);
        using var answer = await client.PostAsync("/enter", form);
        return await answer.Content.ReadAsStringAsync();
    }

    private static async Task<HttpStatusCode> GetAsync(
        HttpClient client,
        string path,
        params (string Name, string Value)[] headers
    )
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, path);
        foreach (var (name, value) in headers)
        {
            request.Headers.TryAddWithoutValidation(name, value);
        }
        using var answer = await client.SendAsync(request);
        return answer.StatusCode;
    }
}
