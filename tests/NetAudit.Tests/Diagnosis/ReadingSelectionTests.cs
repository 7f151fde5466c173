using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Tests.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>Which readings are weighed, and in which order.</summary>
public sealed class ReadingSelectionTests
{
    private readonly SmallBench _bench = new();

    [Fact]
    public void Of_ConditionsInAnyOrder_HasThoseOfNormalPowerFirst()
    {
        var selection = Selected("R2 5k ohms @ off", "b 6", "R4 6k ohms @ off", "a 6");

        Assert.Equal(["", "off"], selection.Groups.Select(g => g.Scene.Condition.Text));
        // Within a condition as they were given.
        Assert.Equal([6, 6, 5e3, 6e3], selection.Weighed.Select(w => w.Reading.Value));
        Assert.Equal(["b", "a"], selection.Weighed.Take(2).Select(w => w.Reading.At));
        Assert.Equal(
            selection.Weighed.Select(w => w.Row),
            selection.Groups.SelectMany(g => g.Rows)
        );
        Assert.Empty(selection.LeftOut);
    }

    private ReadingSelection Selected(params string[] lines) =>
        ReadingSelection.Of(
            lines.Select(line => Assert.Single(TypedReading.Read(line, _bench.Amplifier).Readings)),
            _bench.Healthy,
            TestContext.Current.CancellationToken
        );
}
