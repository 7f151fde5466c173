using System.Buffers;
using Antlr4.Runtime;
using Antlr4.Runtime.Atn;
using NetAudit.Netlists.Generated;

namespace NetAudit.Netlists;

/// <summary>Parses logical text into cards with the card grammar. Never throws on bad input: a card that breaks the grammar carries its fault.</summary>
internal static class CardReader
{
    /// <summary>Depth of parentheses and braces in a card: the parser recurses.</summary>
    public const int DeepestNesting = 64;

    private static readonly Field[] NoFields = [];
    private static readonly SearchValues<char> WordEnds = SearchValues.Create(" (){},='\"");

    /// <summary>The cards in order.</summary>
    public static List<Card> Read(LogicalText text)
    {
        var faults = new FaultCollector(text.Text);
        var input = TooDeep(text.Text, faults);
        var lexer = new CardLexer(new AntlrInputStream(input, input.Length));
        lexer.RemoveErrorListeners();
        var tokens = new CommonTokenStream(lexer);
        var parser = new CardParser(tokens) { ErrorHandler = new CardErrorStrategy() };
        parser.Interpreter.PredictionMode = PredictionMode.SLL;
        parser.RemoveErrorListeners();
        parser.AddErrorListener(faults);
        var cards = new List<Card>();
        while (tokens.LA(1) != TokenConstants.EOF)
        {
            if (tokens.LA(1) == CardLexer.EOL)
            {
                tokens.Consume();
                continue;
            }
            var context = parser.card();
            if (tokens.LA(1) is not (CardLexer.EOL or TokenConstants.EOF))
            {
                faults.Add(tokens.LT(1));
                CardErrorStrategy.SkipCard(tokens);
            }
            var fields = context.children is null ? NoFields : Fields(context, text.Text);
            // A star stands where a continuation line had nothing to continue; that was remarked on already.
            if (fields.Length > 0 && fields[0].Word != "*")
            {
                cards.Add(new Card(text, fields, faults.At(fields[0].Start)));
            }
        }
        faults.AddOrphans(text, cards);
        return cards;
    }

    /// <summary>
    /// The parser's input: characters outside ASCII become a letter, as the lexer is slow on them and only asks where a word ends; a card
    /// nested too deeply becomes blanks.
    /// </summary>
    private static char[] TooDeep(string text, FaultCollector faults)
    {
        var input = text.ToCharArray();
        var (depth, cardStart, worst) = (0, 0, -1);
        for (var at = 0; at <= input.Length; at++)
        {
            var c = at < input.Length ? input[at] : '\n';
            switch (c)
            {
                case '\n':
                    if (worst >= 0)
                    {
                        faults.Add(
                            cardStart,
                            worst,
                            worst + 1,
                            $"parentheses are nested more than {DeepestNesting} deep",
                            null
                        );
                        KeepFirstWord(input.AsSpan(cardStart..at));
                    }
                    (depth, cardStart, worst) = (0, at + 1, -1);
                    break;
                case '(' or '{':
                    depth++;
                    worst = depth > DeepestNesting && worst < 0 ? at : worst;
                    break;
                case ')' or '}':
                    depth--;
                    break;
                case >= '\x7f':
                    input[at] = 'x';
                    break;
            }
        }
        return input;
    }

    private static void KeepFirstWord(Span<char> card)
    {
        var end = card.IndexOfAny(WordEnds);
        card[Math.Max(1, end)..].Fill(' ');
        if (card[0] is '(' or '{')
        {
            card[0] = 'x';
        }
    }

    private static Field[] Fields(ParserRuleContext parent, string text)
    {
        var count = 0;
        foreach (var child in parent.children)
        {
            count += child is CardParser.FieldContext ? 1 : 0;
        }
        if (count == 0)
        {
            return NoFields;
        }
        var fields = new Field[count];
        count = 0;
        foreach (var child in parent.children)
        {
            if (child is CardParser.FieldContext { children: not null } field)
            {
                fields[count++] = ToField(field, text);
            }
        }
        return count == fields.Length ? fields : fields[..count];
    }

    private static Field ToField(CardParser.FieldContext context, string text)
    {
        var head = ToPart(context, text, out var assignment);
        if (assignment < 0)
        {
            return head;
        }
        var value = context.value() is { children: not null } given
            ? ToPart(given, text, out _)
            : null;
        return head with { Value = value, IsAssignment = true, End = value?.End ?? assignment };
    }

    /// <summary>The leading pieces of a field or value as one field; <paramref name="assignment"/> is the end of the <c>=</c> after them, or -1.</summary>
    private static Field ToPart(ParserRuleContext context, string text, out int assignment)
    {
        assignment = -1;
        CardParser.PieceContext? first = null;
        CardParser.PieceContext? last = null;
        var count = 0;
        foreach (var child in context.children)
        {
            if (child is CardParser.PieceContext { children: not null } piece)
            {
                first ??= piece;
                last = piece;
                count++;
            }
            else if (child is Antlr4.Runtime.Tree.ITerminalNode { Symbol.StopIndex: var stop })
            {
                assignment = stop + 1;
                break;
            }
        }
        if (first is null || last is null)
        {
            var at = context.Start.StartIndex;
            return new Field(FieldKind.Word, at, at, at, "", NoFields, null, false);
        }
        var start = first.Start.StartIndex;
        var end = Math.Max(start, (last.Stop ?? last.Start).StopIndex + 1);
        var kind = Kind(first, last, count);
        var wordEnd = kind == FieldKind.Group ? WordEnd(first, start) : end;
        var word = kind switch
        {
            FieldKind.Expression or FieldKind.Text => text[(start + 1)..(end - 1)],
            _ => text[start..wordEnd],
        };
        var inner =
            kind == FieldKind.Group && last.group() is { children: not null } group
                ? Fields(group, text)
                : NoFields;
        return new Field(kind, start, end, end, word, inner, null, false);
    }

    private static int WordEnd(CardParser.PieceContext first, int start) =>
        first.group() is null ? first.Stop.StopIndex + 1 : start;

    private static FieldKind Kind(
        CardParser.PieceContext first,
        CardParser.PieceContext last,
        int count
    ) =>
        (count, first.Start.Type, last.Start.Type) switch
        {
            (1, CardLexer.WORD, _) => FieldKind.Word,
            (1, CardLexer.BRACED or CardLexer.QUOTED, _) => FieldKind.Expression,
            (1, CardLexer.STRING, _) => FieldKind.Text,
            (1, CardLexer.OPEN, _) or (2, CardLexer.WORD, CardLexer.OPEN) => FieldKind.Group,
            _ => FieldKind.Mixed,
        };
}
