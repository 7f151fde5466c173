using System.Text.RegularExpressions;
using NetAudit.Common;

namespace NetAudit.Circuits.Blocks;

/// <summary>
/// A piece of an amplifier to draw a circuit from. Its cards are netlist text in which <c>R?</c> is the next resistor (likewise the other
/// letters), <c>XV?</c> the next tube section, <c>#</c> the block's number, <c>in</c> and <c>out</c> (with <c>in2</c> and <c>out2</c> where
/// there are two halves) the signal's nodes and <c>rail</c> the supply.
/// </summary>
/// <param name="Name">What it is called in a chain.</param>
/// <param name="Title">What it is, in words.</param>
/// <param name="Cards">Its netlist cards, comments among them.</param>
/// <param name="Sheet">What it adds to the service sheet, TOML; empty when nothing.</param>
public sealed partial record BuildingBlock(string Name, string Title, string Cards, string Sheet)
{
    private const string SheetBegins = "\n.sheet\n";
    private const string Supply = "supply = true";

    private static readonly string[] Names =
    [
        "gain",
        "gain-unbypassed",
        "transistor-gain",
        "follower",
        "volume",
        "tone",
        "treble-cut",
        "cathodyne",
        "long-tailed",
        "single-ended",
        "single-ended-6v6gt",
        "push-pull",
        "push-pull-6v6gt",
        "push-pull-6l6gc",
        "push-pull-el34",
        "supply",
        "supply-high",
        "supply-tube",
    ];

    /// <summary>Every block, in the order in which a signal meets them.</summary>
    public static IReadOnlyList<BuildingBlock> All { get; } = [.. Names.Select(Read)];

    /// <summary>Whether it is a supply, which ends a chain.</summary>
    public bool IsSupply => Sheet.Contains(Supply, StringComparison.Ordinal);

    /// <summary>Whether it needs a signal in two halves.</summary>
    internal bool TakesTwo => SecondInput().IsMatch(Cards);

    /// <summary>Whether it gives a signal in two halves.</summary>
    internal bool GivesTwo => SecondOutput().IsMatch(Cards);

    /// <summary>Whether it feeds a loudspeaker: nothing but a supply comes after it.</summary>
    internal bool IsOutput => Cards.Contains("RLOAD", StringComparison.Ordinal);

    /// <summary>Names of the sources behind rectifiers, which follow the wall voltage.</summary>
    internal IEnumerable<string> Sources => Source().Matches(Cards).Select(card => card.Value);

    private static BuildingBlock Read(string name)
    {
        var text = EmbeddedText.Read($"{name}.block");
        var title = text[..text.IndexOf('\n', StringComparison.Ordinal)];
        var rest = text[(title.Length + 1)..];
        var sheet = rest.IndexOf(SheetBegins, StringComparison.Ordinal);
        return sheet < 0
            ? new(name, title, rest, "")
            : new(name, title, rest[..(sheet + 1)], rest[(sheet + SheetBegins.Length)..]);
    }

    [GeneratedRegex(@"^V\w+", RegexOptions.Multiline)]
    private static partial Regex Source();

    [GeneratedRegex(@"\bin2\b")]
    private static partial Regex SecondInput();

    [GeneratedRegex(@"\bout2\b")]
    private static partial Regex SecondOutput();
}
