using Antlr4.Runtime;
using NetAudit.Netlists.Generated;

namespace NetAudit.Netlists;

/// <summary>Puts the parser's complaints into words, the first of each card.</summary>
internal sealed class FaultCollector(string text) : BaseErrorListener
{
    private readonly Dictionary<int, Card.CardFault> faults = [];

    /// <inheritdoc/>
    public override void SyntaxError(
        TextWriter output,
        IRecognizer recognizer,
        IToken offendingSymbol,
        int line,
        int charPositionInLine,
        string msg,
        RecognitionException e
    ) => Add(offendingSymbol);

    /// <summary>Adds the fault that a token is where it does not belong, unless the card has one.</summary>
    public void Add(IToken offendingSymbol)
    {
        var start = Math.Min(offendingSymbol.StartIndex, text.Length);
        var cardStart = start == 0 ? 0 : text.LastIndexOf('\n', start - 1) + 1;
        var end = Math.Max(start, offendingSymbol.StopIndex) + 1;
        var (message, mend) = offendingSymbol.Type switch
        {
            CardLexer.STRAY when text[start] == '{' => (
                "the brace is not closed on this card",
                "add }"
            ),
            CardLexer.STRAY when text[start] == '}' => (
                "this closing brace has no opening one",
                null
            ),
            CardLexer.STRAY => ("the quote is not closed on this card", null),
            CardLexer.CLOSE => ("this closing parenthesis has no opening one", null),
            CardLexer.ASSIGN or CardLexer.EQUALS => ("there is no name before this =", null),
            CardLexer.EOL or TokenConstants.EOF => (
                "a parenthesis is not closed on this card",
                "add )"
            ),
            _ => ((string, string?))("this does not belong here", null),
        };
        while (start < end - 1 && text[start] == ' ')
        {
            start++;
        }
        if (offendingSymbol.Type is CardLexer.EOL or TokenConstants.EOF)
        {
            // Point to the last parenthesis that is open, not to the end of the card.
            var open = LastOpen(cardStart, start);
            (start, end) = (open, open + 1);
        }
        Add(cardStart, start, end, message, mend);
    }

    /// <summary>Adds a fault of the card that starts there, unless it has one.</summary>
    public void Add(int cardStart, int start, int end, string message, string? mend) =>
        faults.TryAdd(cardStart, new Card.CardFault(start, end, message, mend));

    /// <summary>The fault of the card that starts there or a little before (a separator), taken out, or null.</summary>
    public Card.CardFault? At(int start)
    {
        if (faults.Count == 0)
        {
            return null;
        }
        var cardStart = start == 0 ? 0 : text.LastIndexOf('\n', start - 1) + 1;
        return faults.Remove(cardStart, out var fault) ? fault : null;
    }

    /// <summary>Faults on lines that made no card become cards without fields, so that they are reported.</summary>
    public void AddOrphans(LogicalText logical, List<Card> cards)
    {
        foreach (var (cardStart, fault) in faults.OrderBy(pair => pair.Key))
        {
            var name = new Field(
                FieldKind.Mixed,
                cardStart,
                cardStart + 1,
                cardStart + 1,
                "",
                [],
                null,
                false
            );
            cards.Add(new Card(logical, [name], fault));
        }
    }

    private int LastOpen(int from, int to)
    {
        var closed = 0;
        for (var at = to - 1; at >= from; at--)
        {
            closed += text[at] == ')' ? 1 : 0;
            if (text[at] == '(' && closed-- == 0)
            {
                return at;
            }
        }
        return from;
    }
}
