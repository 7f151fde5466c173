using Bunit;
using NetAudit.Bench.Components.Job;
using NetAudit.Bench.Entry;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Bench.Tests.Components;

/// <summary>What the views of a job show.</summary>
public sealed class ViewTests : IDisposable
{
    private readonly BunitContext _context = new();
    private readonly BenchFixture _bench = new(acknowledged: false);

    public ViewTests() => _context.JSInterop.Mode = JSRuntimeMode.Loose;

    public void Dispose()
    {
        _context.Dispose();
        _bench.Dispose();
    }

    [Fact]
    public void Readings_BeforeTheCautionsAreAcknowledged_CannotBeEntered()
    {
        var view = _context.Render<BenchView>(p =>
            p.Add(v => v.Tab, _bench.Tab).Add(v => v.View, "readings")
        );
        Assert.Empty(view.FindAll("#reading"));

        view.Find(".gate button").Click();
        view.Render();

        Assert.NotEmpty(view.FindAll("#reading"));
        Assert.Equal(
            _bench.Session.Circuit!.Cautions,
            _bench.Session.Job.Cautions.Select(c => c.Text)
        );
    }

    [Fact]
    public void Plots_OfACircuitWithoutSignal_SayWhatIsMissing()
    {
        using var folder = new TemporaryFolder();
        var file = folder.File("bare.cir");
        File.WriteAllText(file, "Bare\nV1 a 0 10\nR1 a b 1k\nR2 b 0 1k\n.end\n");
        using var bench = new BenchFixture(circuit: CircuitSource.Take(file).Source!);

        var view = _context.Render<PlotsView>(p => p.Add(v => v.Tab, bench.Tab));

        Assert.Contains(
            "No levels of a test signal: The sheet names",
            view.Markup,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "No frequency response: The sheet names",
            view.Markup,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void WrongFuse_RaisesAWarning_AndIsKept()
    {
        var view = _context.Render<ChecksView>(p => p.Add(v => v.Tab, _bench.Tab));
        var fuse = view.FindAll("fieldset")
            .Single(f => f.TextContent.Contains("HT fuse", StringComparison.Ordinal));
        Assert.Empty(view.FindAll(".warning"));

        fuse.QuerySelectorAll("input[type=radio]")[2].Change(true);
        view.Render();

        Assert.Contains(
            "and nothing else",
            view.Find(".warning").TextContent,
            StringComparison.Ordinal
        );
        Assert.Equal("another value fitted", _bench.Session.Job.Checks.Single().Answer);
    }

    [Fact]
    public async Task Answer_NamesTheSuspectAndShowsPredictedAgainstMeasured()
    {
        _bench.Enter("p1 0.1");
        _bench.Enter("k1 0.0");
        await _bench.WeighedAsync();
        var panel = _context.Render<AnswerPanel>(p => p.Add(v => v.Tab, _bench.Tab));

        Assert.Contains("Fault", panel.Find(".verdict").TextContent, StringComparison.Ordinal);
        panel.Find("button.suspect").Click();
        panel.Render();

        var rows = panel.FindAll(".detail tbody tr");
        Assert.Equal(["p1", "k1"], rows.Select(row => row.QuerySelector("th")!.TextContent));
        Assert.Equal("true", panel.Find("button.suspect").GetAttribute("aria-expanded"));
    }

    [Fact]
    public void OpenedSuspect_SaysWhatElseToLookAt()
    {
        var fault = new Fault("C14", FaultMode.Short);

        Assert.Contains(
            _bench.Session.Circuit!.AlsoLookAt([fault]),
            line =>
                line.Contains("fuse", StringComparison.OrdinalIgnoreCase)
                || line.Contains(" of ", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void DamagedLead_IsSaidBesideEveryProposal()
    {
        _bench.Session.SetCheck("mains-lead", "damaged", "");
        var panel = _context.Render<AnswerPanel>(p => p.Add(v => v.Tab, _bench.Tab));

        Assert.Contains(
            "no reading under power",
            panel.Find(".warning").TextContent,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Cautions_ListEveryChargedCapacitorWithItsTime()
    {
        var view = _context.Render<CautionGate>(p => p.Add(v => v.Tab, _bench.Tab));

        var rows = view.FindAll("tbody tr");
        Assert.Equal(
            _bench.Session.Circuit!.Discharges.Select(d => d.Part),
            rows.Select(row => row.QuerySelector("th")!.TextContent)
        );
        Assert.All(rows, row => Assert.Matches(@"\d+ V", row.TextContent));
    }

    [Fact]
    public void SignalPath_OpenStage_IsSketched()
    {
        _bench.Enter("p1 182");
        var view = _context.Render<PathView>(p => p.Add(v => v.Tab, _bench.Tab));

        view.Find("button.stage").Click();
        view.FindAll(".sketch .node")
            .Single(node =>
                node.QuerySelector("title")!.TextContent.StartsWith("k1,", StringComparison.Ordinal)
            )
            .Click();

        Assert.Contains(
            view.FindAll(".sketch .node title"),
            title => title.TextContent.Contains("read 182.0, high", StringComparison.Ordinal)
        );
        Assert.Equal("k1", _bench.Tab.Chosen!.At);
    }

    [Fact]
    public async Task Table_SortsByDeviation()
    {
        _bench.Enter(FormattableString.Invariant($"k1 {_bench.Expected("k1").Mean:0.00}"));
        _bench.Enter("p1 20");
        await _bench.WeighedAsync();
        var table = _context.Render<ReadingTable>(p => p.Add(v => v.Tab, _bench.Tab));

        table.FindAll("th button").Single(b => b.TextContent == "Deviation").Click();

        Assert.Equal("p1", table.Find("tbody th").TextContent.Trim());
        Assert.Contains("low", table.Find("tbody .side").TextContent, StringComparison.Ordinal);
        Assert.Equal(
            "descending",
            table
                .FindAll("th[aria-sort]")
                .Single(h => h.TextContent == "Deviation")
                .GetAttribute("aria-sort")
        );
    }

    [Fact]
    public void TubeBase_ShowsExpectedAndMeasuredAtItsPin()
    {
        _bench.Enter("v1.1 200");
        var view = _context.Render<TubesView>(p => p.Add(v => v.Tab, _bench.Tab));

        var pin = view.FindAll("[role=button]")
            .First(b =>
                b.QuerySelector("title")!
                    .TextContent.StartsWith("V1 pin 1,", StringComparison.Ordinal)
            );
        Assert.Contains("read 200.0", pin.TextContent, StringComparison.Ordinal);
        pin.Click();
        Assert.Equal(_bench.Expected("v1.1").Point, _bench.Tab.Target!.Expected!.Point);
    }

    [Fact]
    public void Bases_SeenFromBelow_CountClockwiseFromTheGap()
    {
        var tubes = _bench.Amplifier.Parts.Where(part => part.Class == PartClass.Tube).ToArray();
        var noval = BaseGeometry.Of(tubes.First(tube => tube.TubeType!.Name == "12AX7"))!;
        var (x1, y1) = noval.Place(1, 1);
        var (x9, y9) = noval.Place(9, 1);
        var (x3, _) = noval.Place(3, 1);

        // The gap lies at the bottom: pin 1 to its left, pin 9 to its right; going on from 1 the left side comes next.
        Assert.True(x1 < 0 && y1 > 0 && x9 > 0 && y9 > 0);
        Assert.True(x3 < x1);
        var octal = new BaseGeometry(8, 90 + 22.5, true);
        Assert.True(octal.Place(1, 1).X < 0 && octal.Place(8, 1).X > 0 && octal.Place(1, 1).Y > 0);
    }

    [Fact]
    public void Path_HasTheStagesInOrderAndTheSupplyApart()
    {
        var view = _context.Render<PathView>(p => p.Add(v => v.Tab, _bench.Tab));

        Assert.Equal(
            _bench.Amplifier.Stages.Where(s => !s.IsSupply).Select(s => s.Name),
            view.FindAll("ol.stages .title").Select(t => t.TextContent)
        );
        view.Find("ol.stages button").Click();
        Assert.NotEmpty(view.FindAll(".points button"));
    }

    [Fact]
    public void Work_StepsAndPrices_AreKeptAndStruckOut()
    {
        var view = _context.Render<WorkView>(p => p.Add(v => v.Tab, _bench.Tab));
        view.Find("#step-part").Change("R3");
        view.Find("#step-text").Change("was open");
        view.FindAll("form")[0].Submit();
        view.Find("#price-text").Change("Resistor");
        view.Find("#price-each").Change("0,45");
        view.FindAll("form")[1].Submit();

        Assert.Equal("R3", _bench.Session.Job.Steps.Single().Part);
        Assert.Equal(0.45m, _bench.Session.Job.Prices.Single().UnitPrice);
        view.Render();
        view.FindAll(".lines button")[0].Click();
        Assert.Empty(_bench.Session.Job.Steps);
    }

    [Fact]
    public void Plots_SayInWordsWhatTheyShow()
    {
        _bench.Enter("p1 182");
        var view = _context.Render<PlotsView>(p => p.Add(v => v.Tab, _bench.Tab));

        var images = view.FindAll("img.plot");
        Assert.All(
            images,
            image =>
                Assert.StartsWith(
                    "data:image/svg+xml",
                    image.GetAttribute("src")!,
                    StringComparison.Ordinal
                )
        );
        // Plate curves, the spread at the point read last, levels and response.
        Assert.Equal(4, images.Count);
        Assert.Contains(
            images,
            image =>
                image.GetAttribute("alt")!.Contains("measured 182.0 V", StringComparison.Ordinal)
        );
        Assert.Contains(
            images,
            image =>
                image.GetAttribute("alt")!.Contains("; Tone network ", StringComparison.Ordinal)
        );
    }
}
