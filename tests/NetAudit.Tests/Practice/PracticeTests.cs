using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Practice;
using Xunit;

namespace NetAudit.Tests.Practice;

/// <summary>A hidden fault is the same for everyone who has the seed, and can be found.</summary>
public sealed class PracticeTests
{
    private static readonly Amplifier Amplifier = AmplifierReader
        .Read(Repository.File("sample-circuits/marram-5.cir"))
        .Amplifier!;

    private static PracticeBench Bench() => PracticeBench.Prepare(Amplifier).Bench!;

    [Fact]
    public void SameSeed_GivesTheSameUnit_InWhateverOrderItIsRead()
    {
        string[] places = ["p1 1", "k1 1", "out 1 ac", "p2 1"];

        var first = Take(Bench().Hide(1, 7), places);
        var second = Take(Bench().Hide(1, 7), [.. places.Reverse()]);

        Assert.Equal(first, second.Reverse());
        Assert.Equal(Bench().Hide(1, 7).Complaint, Bench().Hide(1, 7).Complaint);
    }

    [Fact]
    public void OtherSeeds_GiveOtherUnits()
    {
        var bench = Bench();

        var faults = Enumerable.Range(1, 12).Select(seed => bench.Hide(1, seed).Faults[0].Part);

        Assert.True(faults.Distinct().Count() > 3);
    }

    [Fact]
    public void HiddenFault_IsToldWithItsValue()
    {
        var bench = SimulatedBench.Prepare(Amplifier).Bench!;
        var units = Enumerable
            .Range(1, 20)
            .Select(seed => bench.Draw(1, new Random(seed)))
            .Where(unit => unit.Named.Single().Value is not null)
            .ToArray();

        Assert.NotEmpty(units);
        Assert.All(
            units,
            unit =>
            {
                var range = unit.Faults.Members.Single().Range;
                Assert.InRange(unit.Named.Single().Value!.Value, range.Low, range.High);
            }
        );
    }

    [Fact]
    public void HiddenFault_IsFoundByTheProgramItself()
    {
        var bench = Bench();

        var own = Enumerable
            .Range(1, 4)
            .Select(seed => bench.OwnReadings(bench.Hide(1, seed)))
            .ToArray();

        Assert.True(own.Count(readings => readings is not null) >= 3);
        Assert.All(own.OfType<int>(), readings => Assert.InRange(readings, 1, 25));
    }

    [Fact]
    public void RightParts_AreRight_AndNoOthers()
    {
        var unit = Bench().Hide(2, 3);
        string[] parts = [.. unit.Faults.Select(fault => fault.Part)];

        Assert.Equal(2, parts.Length);
        Assert.True(unit.IsRight(parts.Reverse().Select(part => part.ToLowerInvariant())));
        Assert.False(unit.IsRight(parts.Take(1)));
        Assert.False(unit.IsRight([parts[0], "none"]));
    }

    [Theory]
    [InlineData(5, 0, 0, true, 5, 100)]
    [InlineData(3, 0, 0, true, 5, 100)]
    [InlineData(10, 0, 0, true, 5, 50)]
    [InlineData(4, 2, 0, true, 5, 50)]
    [InlineData(5, 0, 2, true, 5, 60)]
    [InlineData(5, 0, 9, true, 5, 0)]
    [InlineData(5, 0, 0, false, 5, 0)]
    [InlineData(20, 0, 0, true, null, 50)]
    public void Score_CountsReadingsLooksAndWrongNames(
        int readings,
        int looks,
        int wrong,
        bool found,
        int? own,
        int points
    ) => Assert.Equal(points, new PracticeScore(readings, looks, wrong, found, own).Points);

    private static string[] Take(PracticeUnit unit, string[] places) =>
        [
            .. places.Select(place =>
                ReadingWords.Measured(
                    unit.Take(TypedReading.Read(place, Amplifier).Readings.Single())!
                )
            ),
        ];
}
