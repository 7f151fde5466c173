using NetAudit.Audits.Variants;
using NetAudit.Reference.RandomNetlists;
using Xunit;

namespace NetAudit.Tests.Audits.Variants;

public sealed class VariantMatchingTests
{
    private const int Seeds = 20;

    public static TheoryData<string> Samples =>
        ["marram-5", "marram-20", "marram-50-a", "marram-50-b", "marram-50-c", "marram-line"];

    [Theory]
    [MemberData(nameof(Samples))]
    public void Of_AllNamesShuffledAndThreePartsChanged_FindsTheParts(string sample)
    {
        var (right, all) = (0, 0);
        var wrong = new List<string>();
        for (var seed = 1; seed <= Seeds; seed++)
        {
            var text = VariantSamples.Text(sample);
            var first = VariantSamples.FromText(text);
            var shuffled = ShuffledNetlist.Of(text, changes: 3, seed);
            var second = VariantSamples.FromText(shuffled.Text);

            var matching = VariantMatching.Of(first, second);

            foreach (var unit in matching.First.Where(u => shuffled.Elements.ContainsKey(u.Name)))
            {
                all++;
                var found = matching
                    .Units.Where(match => matching.First[match.First] == unit)
                    .Select(match => matching.Second[match.Second].Name)
                    .FirstOrDefault("nothing");
                if (found == shuffled.Elements[unit.Name])
                {
                    right++;
                }
                else
                {
                    wrong.Add(
                        $"{seed}: {unit.Name} is {shuffled.Elements[unit.Name]}, found {found}; changed {string.Join(' ', shuffled.Changed)}"
                    );
                }
            }
        }
        Assert.True(right >= 0.99 * all, $"{right} of {all}\n{string.Join('\n', wrong)}");
    }

    [Fact]
    public void Of_ThirdRevisionDrawnByAnotherHand_FindsEveryPart()
    {
        var (first, second) = (
            VariantSamples.Read("marram-50-a"),
            VariantSamples.Read("marram-50-c")
        );

        var matching = VariantMatching.Of(first, second);

        Assert.Equal(matching.First.Length, matching.Units.Length);
        // The two lists stand in one order: the sections of the netlists do.
        Assert.All(matching.Units, match => Assert.Equal(match.First, match.Second));
    }

    [Fact]
    public void Of_SameNamesOnOtherParts_GoesByStructure()
    {
        const string First = "A\nV1 a 0 10\nR1 a b 1k\nR2 b c 2.2k\nR3 c 0 4.7k\nC1 c 0 1u\n.end\n";
        const string Second =
            "B\nV1 a 0 10\nR3 a b 1k\nR1 b c 2.2k\nR2 c 0 4.7k\nC1 c 0 1u\n.end\n";

        var matching = VariantMatching.Of(
            VariantSamples.FromText(First),
            VariantSamples.FromText(Second)
        );

        Assert.Equal(
            ["C1=C1", "R1=R3", "R2=R1", "R3=R2", "V1=V1"],
            Pairs(matching).Order(StringComparer.Ordinal)
        );
    }

    [Fact]
    public void Of_EqualTwins_SaysThatItIsNotSure()
    {
        const string Twins = "T\nV1 a 0 10\nR1 a b 1k\nR2 b 0 1k\nR3 b 0 1k\n.end\n";

        var matching = VariantMatching.Of(
            VariantSamples.FromText(Twins),
            VariantSamples.FromText(Twins.Replace("R2", "RX").Replace("R3", "RY"))
        );

        var twins = matching.Units.Where(match => matching.First[match.First].Name is "R2" or "R3");
        Assert.All(twins, match => Assert.InRange(match.Confidence, 0.3, 0.7));
    }

    [Fact]
    public void Of_Twice_GivesTheSame()
    {
        var (first, second) = (
            VariantSamples.Read("marram-50-a"),
            VariantSamples.Read("marram-50-c")
        );

        Assert.Equal(
            VariantMatching.Of(first, second).Units,
            VariantMatching.Of(first, second).Units
        );
    }

    private static IEnumerable<string> Pairs(VariantMatching matching) =>
        matching.Units.Select(match =>
            $"{matching.First[match.First].Name}={matching.Second[match.Second].Name}"
        );
}
