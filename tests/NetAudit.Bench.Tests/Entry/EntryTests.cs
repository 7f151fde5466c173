using NetAudit.Bench.Entry;
using NetAudit.Bench.Tests.Components;
using NetAudit.Expectations;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Bench.Tests.Entry;

/// <summary>What is typed, and what is made of it.</summary>
public sealed class EntryTests : IDisposable
{
    private readonly BenchFixture _bench = new();

    public void Dispose() => _bench.Dispose();

    [Theory]
    [InlineData(10, true)]
    [InlineData(0.1, true)]
    [InlineData(-1, true)]
    [InlineData(0.001, true)]
    [InlineData(1.01, false)]
    [InlineData(0.5, false)]
    [InlineData(3, false)]
    public void Misread_OnlySlipsOfTheDecimalPointOrSign(double factor, bool doubted)
    {
        var expected = _bench.Expected("p1");
        var reading = Read("p1 1") with { Value = expected.Mean * factor };

        var meant = Misread.Meant(reading, expected);

        Assert.Equal(doubted, meant is not null);
        if (doubted)
        {
            Assert.Equal(1, meant!.Value / expected.Mean, 4);
        }
    }

    [Fact]
    public void Misread_AboutZero_NothingIsDoubted()
    {
        var expected = _bench.Expected("g1");

        Assert.Null(Misread.Meant(Read("g1 0.5"), expected));
    }

    [Theory]
    [InlineData("182", true)]
    [InlineData("-38", true)]
    [InlineData("-", true)]
    [InlineData("2k14 ohms", true)]
    [InlineData("OL", true)]
    [InlineData("p1", false)]
    [InlineData("p1 182", false)]
    [InlineData("v1.6", false)]
    [InlineData("", false)]
    public void IsValue_TellsValuesFromPoints(string text, bool isValue) =>
        Assert.Equal(isValue, TypedEntry.IsValue(text));

    [Fact]
    public void Complete_FindsEachPointOnce()
    {
        var names = TypedEntry.Complete("V1", _bench.Session.Circuit!);

        Assert.NotEmpty(names);
        Assert.Equal(names.Length, names.Select(n => n.Expected.Point.Node).Distinct().Count());
        Assert.All(names, n => Assert.StartsWith("v1", n.Text, StringComparison.OrdinalIgnoreCase));
        Assert.Empty(TypedEntry.Complete("p1 ", _bench.Session.Circuit!));
    }

    [Theory]
    [InlineData(ReadingKind.Dc, null, "p1 182")]
    [InlineData(ReadingKind.Ac, null, "p1 182 ac")]
    [InlineData(ReadingKind.Ohms, "k1", "p1 k1 182 ohms")]
    public void Target_WritesTheLineThatIsTyped(ReadingKind kind, string? reference, string line)
    {
        var target = new ReadingTarget("p1", reference, kind, Condition.Normal, "p1", null);

        Assert.Equal(line, target.Line("182"));
        Assert.False(TypedReading.Read(line, _bench.Amplifier).HasErrors);
    }

    [Fact]
    public void Sessions_OneAfterTheOther_AgreeWithTheDisk()
    {
        for (var i = 0; i < 10; i++)
        {
            _bench.Enter($"p1 {180 + i}");
        }

        var disk = _bench.Store.Load(_bench.Session.Job.Number)!;
        Assert.Equal(disk.Readings, _bench.Session.Job.Readings);
        Assert.Equal(10, _bench.Session.Readings(ReadingPhase.Before).Length);
    }

    private Reading Read(string line) =>
        TypedReading.Read(line, _bench.Amplifier).Readings.Single();
}
