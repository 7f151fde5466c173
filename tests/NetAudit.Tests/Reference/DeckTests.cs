using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>Published decks and tube makers' application circuits, against ngspice running live on the same file.</summary>
public class DeckTests
{
    public static TheoryData<string> Decks =>
        [
            .. Directory
                .GetFiles(RepositoryFiles.Decks, "*.cir")
                .Select(path => Path.GetFileName(path))
                .Order(),
        ];

    [Theory]
    [MemberData(nameof(Decks))]
    public void OperatingPoint_OfDeck_IsThatOfNgspice(string deck)
    {
        NgspiceRequirement.Check();
        var text = File.ReadAllText(Path.Combine(RepositoryFiles.Decks, deck));
        Assert.Empty(Agreement.OfText(text, deck));
    }
}
