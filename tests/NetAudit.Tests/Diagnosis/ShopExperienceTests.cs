using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

public sealed class ShopExperienceTests
{
    private static readonly ShopExperience Experience = new(
        "Marram 20",
        ImmutableSortedDictionary<PartClass, int>
            .Empty.Add(PartClass.Tube, 1)
            .Add(PartClass.Electrolytic, 4)
            .Add(PartClass.Resistor, 0)
    );

    [Fact]
    public void Share_OfAClass_CountsItsCausesBesideTwentyOfTheTable()
    {
        Assert.Equal(5, Experience.Total);
        Assert.Equal((20 * 0.1 + 4) / 25, Experience.Share(PartClass.Electrolytic, 0.1), 12);
        Assert.Equal(20 * 0.3 / 25, Experience.Share(PartClass.Capacitor, 0.3), 12);
    }

    [Fact]
    public void Sentence_NamesTheCausesThatThereWereTheMostFrequentFirst()
    {
        var sentence = Experience.Sentence();

        Assert.StartsWith(
            $"The shop's own closed jobs of Marram 20 count: 4 causes a {PartClass.Electrolytic.Describe()}, 1 cause a {PartClass.Tube.Describe()}.",
            sentence,
            StringComparison.Ordinal
        );
        Assert.EndsWith("counts as 20 jobs beside them.", sentence, StringComparison.Ordinal);
    }
}
