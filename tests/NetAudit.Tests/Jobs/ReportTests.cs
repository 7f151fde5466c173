using System.Text.RegularExpressions;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>Reports say what was done in the words of their reader, and hold nothing that runs.</summary>
public sealed partial class ReportTests : IDisposable
{
    private static readonly ShopDetails Shop = new("Amps & Sons", "1 Bench Road\nTown", "EUR");

    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public void OwnerReport_OpenPlateResistor_SaysItPlainly()
    {
        var html = OwnerReport.ToHtml(Repaired(), Shop, TestContext.Current.CancellationToken);

        Assert.Contains("Amps &amp; Sons", html, StringComparison.Ordinal);
        Assert.Contains("It went quiet.", html, StringComparison.Ordinal);
        Assert.Contains("A resistor (marked R3) had failed.", html, StringComparison.Ordinal);
        Assert.Contains("one lay outside what a sound unit shows", html, StringComparison.Ordinal);
        Assert.Contains("all are as they should be", html, StringComparison.Ordinal);
        Assert.Contains("76.00", html, StringComparison.Ordinal);
        Assert.Contains("can kill", html, StringComparison.Ordinal);
    }

    [Fact]
    public void OwnerReport_HoldsNoJargon()
    {
        var html = OwnerReport.ToHtml(Repaired(), Shop, TestContext.Current.CancellationToken);
        var body = html[html.IndexOf("<body>", StringComparison.Ordinal)..];
        string[] jargon =
        [
            "plate",
            "cathode",
            "sigma",
            "deviation",
            "netlist",
            "posterior",
            "node",
            "anode",
            "grid",
            "suspect",
        ];

        Assert.All(
            jargon,
            word =>
                Assert.DoesNotContain(
                    word,
                    Tags().Replace(body, " "),
                    StringComparison.OrdinalIgnoreCase
                )
        );
    }

    [Fact]
    public void BenchRecord_HoldsEveryReadingAndTheAnswer()
    {
        var html = BenchRecord.ToHtml(
            Repaired(),
            Shop,
            cancellationToken: TestContext.Current.CancellationToken
        );

        Assert.Contains("taken back", html, StringComparison.Ordinal);
        Assert.Contains("What the readings say", html, StringComparison.Ordinal);
        Assert.Contains("Acknowledged", html, StringComparison.Ordinal);
        Assert.Contains("Marram 20", html, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("<script>alert(1)</script>")]
    [InlineData("\"><img src=x onerror=alert(1)>")]
    [InlineData("</style><script>1</script>")]
    [InlineData("\u202Egnp.exe &lt;b&gt;")]
    public void HostileText_InEveryField_IsOnlyText(string hostile)
    {
        using var store = _bench.Open();
        var number = Bench.NewJob(store);
        foreach (var field in JobFields.All)
        {
            store.SetField(number, field, hostile);
        }
        store.SetCheck(number, hostile, hostile, hostile);
        store.AddStep(number, StepKind.Other, hostile, hostile, hostile);
        store.AddPrice(number, hostile, false, 1, 1);
        store.Acknowledge(number, [hostile]);
        var job = store.Load(number)!;
        var shop = new ShopDetails(hostile, hostile, hostile);

        foreach (var html in new[] { OwnerReport.ToHtml(job, shop), BenchRecord.ToHtml(job, shop) })
        {
            var tags = Tags()
                .Matches(html)
                .Select(tag => TagName().Match(tag.Value).Value)
                .Distinct();
            Assert.Subset(Known, tags.ToHashSet());
            Assert.DoesNotContain(
                "onerror=",
                string.Concat(Tags().Matches(html)),
                StringComparison.Ordinal
            );
            Assert.Equal(1, TagStyle().Count(html));
        }
    }

    private static readonly HashSet<string> Known =
    [
        .. "!DOCTYPE html head meta title style body header div p address h1 h2 dl dt dd bdi blockquote ul ol li section table thead tbody tfoot tr th td".Split(
            ' '
        ),
    ];

    [GeneratedRegex("<[^>]*>")]
    private static partial Regex Tags();

    [GeneratedRegex("(?<=^</?)[!A-Za-z0-9]+")]
    private static partial Regex TagName();

    [GeneratedRegex("</style")]
    private static partial Regex TagStyle();

    private Job Repaired()
    {
        using var store = _bench.Open();
        var number = Bench.NewJob(store);
        store.SetField(number, JobField.Words, "It went quiet.");
        store.SetField(number, JobField.CausePart, "R3");
        store.SetField(number, JobField.CauseMode, "open");
        store.AddReading(number, ReadingPhase.Before, Bench.Read("p1 1820"));
        store.TakeBack(number, 1);
        store.AddReading(number, ReadingPhase.Before, Bench.Read("p1 0.1"));
        var expected = NetAudit.Expectations.Expectation.Of(Bench.Amplifier).Readings;
        var plate = expected
            .First(r => Bench.Amplifier.Circuit.Nodes[r.Point.Node].Name == "p1")
            .Mean;
        store.AddReading(
            number,
            ReadingPhase.After,
            Bench.Read(FormattableString.Invariant($"p1 {plate:0.0}"))
        );
        store.AddStep(number, StepKind.Replaced, "R3", "was open", "100k 1 W");
        store.AddPrice(number, "Resistor 100k", false, 1, 1);
        store.AddPrice(number, "Bench time", true, 1.5m, 50);
        store.Acknowledge(number, ["Pull the plug."]);
        return store.Load(number)!;
    }
}
