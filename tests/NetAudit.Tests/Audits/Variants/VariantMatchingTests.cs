using NetAudit.Audits.Variants;
using NetAudit.Circuits;
using NetAudit.Reference.RandomNetlists;
using Xunit;

namespace NetAudit.Tests.Audits.Variants;

public sealed class VariantMatchingTests
{
    private const int Seeds = 40;

    public static TheoryData<string> Samples =>
        ["marram-5", "marram-20", "marram-50-a", "marram-50-b", "marram-line"];

    [Theory]
    [MemberData(nameof(Samples))]
    public void Of_AllNamesShuffledAndThreePartsChanged_FindsTheParts(string sample)
    {
        var (right, all) = (0, 0);
        var wrong = new List<string>();
        for (var seed = 1; seed <= Seeds; seed++)
        {
            var (first, text) = Read(sample);
            var shuffled = ShuffledNetlist.Of(text, changes: 3, seed);
            var second = FromText(shuffled.Text);

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

    private static (Amplifier Amplifier, string Text) Read(string sample)
    {
        var text = File.ReadAllText(Repository.File($"sample-circuits/{sample}.cir"));
        return (FromText(text), text);
    }

    private static Amplifier FromText(string text) =>
        AmplifierReader
            .ReadText(
                CircuitReader.ReadText(text, "test", Repository.File("sample-circuits")),
                null
            )
            .Amplifier!;
}
