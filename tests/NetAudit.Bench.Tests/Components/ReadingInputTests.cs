using Bunit;
using Microsoft.AspNetCore.Components.Web;
using NetAudit.Bench.Components.Job;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Bench.Tests.Components;

/// <summary>The one input: what is typed becomes a reading, or says why not.</summary>
public sealed class ReadingInputTests : IDisposable
{
    private readonly BunitContext _context = new();
    private readonly BenchFixture _bench = new();

    public ReadingInputTests() => _context.JSInterop.Mode = JSRuntimeMode.Loose;

    public void Dispose()
    {
        _context.Dispose();
        _bench.Dispose();
    }

    [Fact]
    public void PointAndValue_AreKeptAndJudged()
    {
        var input = Render();

        Type(input, "p1 182");

        Assert.Equal("182", Kept().Single().Value);
        Assert.Contains(
            "p1 182.0 V: high",
            input.Find(".outcome").TextContent,
            StringComparison.Ordinal
        );
        Assert.Equal("", input.Find("#reading").GetAttribute("value") ?? "");
    }

    [Theory]
    [InlineData("out 2m ac", "out AC 2 mV: low")]
    [InlineData("R12 2k14 ohms", "R12 ohms 2.14 kΩ: low")]
    [InlineData("p1 100 @ mains=200", "p1, mains=200 100.0 V: low")]
    public void OtherKindsAndConditions_AreJudgedToo(string line, string said)
    {
        var input = Render();

        Type(input, line);

        Assert.Contains(said, input.Find(".outcome").TextContent, StringComparison.Ordinal);
        Assert.Contains("expected", input.Find(".outcome").TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public void ValueAlone_IsTakenAtTheProposedPoint()
    {
        var input = Render();
        var proposed = input.Find(".at").TextContent;

        Type(input, "310");

        Assert.Equal((proposed, "310"), (Kept().Single().At, Kept().Single().Value));
        Assert.NotEqual(proposed, input.Find(".at").TextContent);
    }

    [Fact]
    public void ArrowDown_OnAnEmptyInput_ProposesTheNextPoint()
    {
        var input = Render();
        var proposed = input.Find(".at").TextContent;

        input.Find("#reading").KeyDown(new KeyboardEventArgs { Key = "ArrowDown" });

        Assert.NotEqual(proposed, input.Find(".at").TextContent);
        Assert.Contains("Chosen", input.Find("#proposed").TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public void BeginningOfAName_IsCompletedWithArrowsAndEnter()
    {
        var input = Render();
        input.Find("#reading").Input("v1");
        var first = input.Find("[role=option] strong").TextContent;

        input.Find("#reading").KeyDown(new KeyboardEventArgs { Key = "ArrowDown" });
        Assert.Equal("true", input.Find("[role=option]").GetAttribute("aria-selected"));
        input.Find("form").Submit();

        Assert.Equal(first + " ", input.Find("#reading").GetAttribute("value"));
        Assert.Empty(Kept());
    }

    [Fact]
    public void DecimalPointMisread_IsFlagged_AndMendedByOneButton()
    {
        var input = Render();
        var right = _bench.Expected("p1").Mean;

        Type(input, FormattableString.Invariant($"p1 {right * 10:0.0}"));
        Assert.Contains(
            "Did you mean",
            input.Find(".misread").TextContent,
            StringComparison.Ordinal
        );
        input.Find(".misread button.main").Click();

        Assert.Empty(input.FindAll(".misread"));
        var kept = double.Parse(
            Kept().Single().Value,
            System.Globalization.CultureInfo.InvariantCulture
        );
        Assert.InRange(kept, right - 0.1, right + 0.1);
        Assert.Equal(2, _bench.Session.Job.Readings.Length);
    }

    [Fact]
    public void ReadingWithinLimits_IsNotDoubted()
    {
        var input = Render();

        Type(input, FormattableString.Invariant($"p1 {_bench.Expected("p1").Mean:0.0}"));

        Assert.Empty(input.FindAll(".misread"));
        Assert.Contains(
            "within limits",
            input.Find(".outcome").TextContent,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void UnknownPoint_IsSaidAndTheTextStays()
    {
        var input = Render();

        Type(input, "p77 182");

        Assert.Contains(
            "no point \"p77\"",
            input.Find(".problem").TextContent,
            StringComparison.Ordinal
        );
        Assert.Equal("p77 182", input.Find("#reading").GetAttribute("value"));
        Assert.Empty(Kept());
    }

    [Fact]
    public void Undo_TakesTheLastReadingBack()
    {
        var input = Render();
        Type(input, "p1 182");
        Type(input, "k1 1.5");

        input.FindAll("button").First(button => button.TextContent == "Undo").Click();

        Assert.Equal("p1", Kept().Single().At);
        Assert.Contains(
            "Taken back: k1 1.5",
            input.Find(".outcome").TextContent,
            StringComparison.Ordinal
        );
    }

    private IEnumerable<JobReading> Kept() => _bench.Session.Job.Standing(ReadingPhase.Before);

    private IRenderedComponent<ReadingInput> Render() =>
        _context.Render<ReadingInput>(parameters => parameters.Add(input => input.Tab, _bench.Tab));

    private static void Type(IRenderedComponent<ReadingInput> input, string text)
    {
        input.Find("#reading").Input(text);
        input.Find("form").Submit();
    }
}
