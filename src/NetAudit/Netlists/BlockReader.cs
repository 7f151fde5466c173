using NetAudit.Common;

namespace NetAudit.Netlists;

/// <summary>Puts a file's cards into blocks: <c>.subckt</c>/<c>.ends</c>, <c>.if</c>/<c>.endif</c>, <c>.lib NAME</c>/<c>.endl</c>.</summary>
internal sealed class BlockReader(List<Card> cards, DiagnosticBag diagnostics)
{
    /// <summary>Depth of blocks in blocks: reading them recurses.</summary>
    public const int DeepestNesting = 50;

    private int next;

    /// <summary>All items of the file.</summary>
    public NetlistItem[] Read()
    {
        var all = new List<NetlistItem>(cards.Count);
        while (next < cards.Count)
        {
            all.AddRange(ReadUntil(0, []));
            if (next < cards.Count)
            {
                // A closing card without its opening one ended the block: say so and go on.
                Complain(cards[next], $"{cards[next].Name} has no card that it closes");
                next++;
            }
        }
        return [.. all];
    }

    private NetlistItem[] ReadUntil(int depth, ReadOnlySpan<string> ends)
    {
        var items = new List<NetlistItem>();
        while (next < cards.Count)
        {
            var card = cards[next];
            if (!card.IsDotCard)
            {
                items.Add(card);
                next++;
                continue;
            }
            var keyword = card.Name.ToLowerInvariant();
            if (
                ends.Contains(keyword)
                || keyword is ".ends" or ".eom" or ".endif" or ".else" or ".elseif" or ".endl"
            )
            {
                break;
            }
            next++;
            if (depth >= DeepestNesting && keyword is ".subckt" or ".macro" or ".if")
            {
                Complain(card, $"blocks are nested more than {DeepestNesting} deep");
                continue;
            }
            items.Add(
                keyword switch
                {
                    ".subckt" or ".macro" => ReadSubcircuit(card, depth),
                    ".if" => ReadChoice(card, depth),
                    ".lib" when IsSection(card) => ReadSection(card, depth),
                    _ => card,
                }
            );
        }
        return [.. items];
    }

    private SubcircuitDefinition ReadSubcircuit(Card header, int depth)
    {
        var body = ReadUntil(depth + 1, [".ends", ".eom"]);
        if (next < cards.Count && (cards[next].Is(".ends") || cards[next].Is(".eom")))
        {
            CheckEndsName(header, cards[next]);
            next++;
        }
        else
        {
            Complain(
                header,
                "this subcircuit has no .ends",
                "add a line .ends after its last element"
            );
        }
        return new SubcircuitDefinition(header, body);
    }

    private void CheckEndsName(Card header, Card ends)
    {
        if (
            ends.Fields.Length > 1
            && header.Fields.Length > 1
            && !ends.Fields[1].Is(header.Fields[1].Word)
        )
        {
            diagnostics.Add(
                Severity.Warning,
                ends.Text,
                ends.Fields[1].Start,
                ends.Fields[1].End,
                $".ends names {ends.Fields[1].Word}, but closes subcircuit {header.Fields[1].Word}",
                $"write .ends {header.Fields[1].Word}, or look for one that is missing"
            );
        }
    }

    private Choice ReadChoice(Card first, int depth)
    {
        var branches = new List<(Card, NetlistItem[])>();
        var card = first;
        while (true)
        {
            branches.Add((card, ReadUntil(depth + 1, [".endif", ".else", ".elseif"])));
            if (next >= cards.Count || !IsChoicePart(cards[next]))
            {
                Complain(first, "this .if has no .endif", "add a line .endif");
                break;
            }
            card = cards[next++];
            if (card.Is(".endif"))
            {
                break;
            }
        }
        return new Choice([.. branches]);
    }

    private LibrarySection ReadSection(Card card, int depth)
    {
        var items = ReadUntil(depth + 1, [".endl"]);
        if (next < cards.Count && cards[next].Is(".endl"))
        {
            next++;
        }
        return new LibrarySection(card.Fields[1].Word, items);
    }

    /// <summary><c>.lib X</c> opens a section when an <c>.endl</c> comes before another <c>.lib</c> with one word; else X is a file.</summary>
    private bool IsSection(Card card)
    {
        if (card.Fields.Length != 2 || card.Fields[1].Kind != FieldKind.Word)
        {
            return false;
        }
        for (var i = next; i < cards.Count; i++)
        {
            if (cards[i].Is(".endl"))
            {
                return true;
            }
            if (cards[i].Is(".lib") && cards[i].Fields.Length == 2)
            {
                return false;
            }
        }
        return false;
    }

    private static bool IsChoicePart(Card card) =>
        card.Is(".endif") || card.Is(".else") || card.Is(".elseif");

    private void Complain(Card card, string message, string? mend = null) =>
        diagnostics.Add(
            Severity.Error,
            card.Text,
            card.Fields[0].Start,
            card.Fields[0].End,
            message,
            mend
        );
}
