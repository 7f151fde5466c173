using System.Collections.Concurrent;
using Antlr4.Runtime;
using Antlr4.Runtime.Atn;
using NetAudit.Netlists.Generated;

namespace NetAudit.Netlists.Expressions;

/// <summary>What reading an expression gave: the expression, or what is wrong with it at which offset of its text.</summary>
internal sealed record ParsedExpression(
    Expression? Expression,
    string? Problem = null,
    int ProblemStart = 0,
    int ProblemLength = 1,
    string? Mend = null
);

/// <summary>
/// Parses expression text. The places in the result are relative: line 0, and a column that counts from 1 in the text. The same text
/// is parsed once. Never throws on bad input. Thread-safe.
/// </summary>
internal static class ExpressionReader
{
    /// <summary>Depth of an expression: everything that walks it recurses.</summary>
    public const int Deepest = 200;

    private const int LongestText = 20_000;
    private const int MostKept = 4096;
    private const int LongestKept = 2000;
    private static readonly ConcurrentDictionary<string, ParsedExpression> Kept = new(
        StringComparer.Ordinal
    );

    /// <summary>The expression that a text spells.</summary>
    public static ParsedExpression Read(string text)
    {
        if (Kept.TryGetValue(text, out var kept))
        {
            return kept;
        }
        var parsed = Parse(text);
        if (text.Length <= LongestKept)
        {
            if (Kept.Count >= MostKept)
            {
                Kept.Clear();
            }
            Kept[text] = parsed;
        }
        return parsed;
    }

    private static ParsedExpression Parse(string text)
    {
        if (string.IsNullOrWhiteSpace(text))
        {
            return new ParsedExpression(null, "an expression is missing here");
        }
        if (text.Length > LongestText)
        {
            return new ParsedExpression(
                null,
                $"the expression is longer than {LongestText} characters"
            );
        }
        if (NestingFault(text) is { } deep)
        {
            return deep;
        }
        // The lexer is slow outside ASCII and only asks what is a letter.
        var input = text.ToCharArray();
        for (var i = 0; i < input.Length; i++)
        {
            if (input[i] >= '\x7f')
            {
                input[i] = char.IsLetter(input[i]) ? 'x' : '\x7f';
            }
        }
        var lexer = new ExpressionLexer(new AntlrInputStream(input, input.Length));
        lexer.RemoveErrorListeners();
        var parser = new ExpressionParser(new CommonTokenStream(lexer));
        parser.Interpreter.PredictionMode = PredictionMode.SLL;
        parser.RemoveErrorListeners();
        var listener = new FirstProblem(text);
        parser.AddErrorListener(listener);
        var tree = parser.whole();
        return listener.Problem ?? ExpressionBuilder.Build(tree.conditional(), text);
    }

    /// <summary>A bound on the parser's recursion that needs no parser: brackets, signs in a row, signed exponents, conditionals.</summary>
    private static ParsedExpression? NestingFault(string text)
    {
        var (brackets, signs, others) = (0, 0, 0);
        var (last, lastButOne) = (' ', ' ');
        for (var at = 0; at < text.Length; at++)
        {
            var c = text[at];
            if (c == ' ')
            {
                continue;
            }
            brackets +=
                c is '(' or '{' ? 1
                : c is ')' or '}' ? -1
                : 0;
            var isSign = c is '-' or '+' or '!' or '~';
            var isExponent = isSign && (last == '^' || (last == '*' && lastButOne == '*'));
            others += c == '?' || isExponent ? 1 : 0;
            signs = isSign ? signs + 1 : 0;
            (lastButOne, last) = (last, c);
            if (brackets + signs + others > CardReader.DeepestNesting)
            {
                return new ParsedExpression(
                    null,
                    $"the expression is nested more than {CardReader.DeepestNesting} deep",
                    at
                );
            }
        }
        return null;
    }

    private sealed class FirstProblem(string text) : BaseErrorListener
    {
        public ParsedExpression? Problem { get; private set; }

        public override void SyntaxError(
            TextWriter output,
            IRecognizer recognizer,
            IToken offendingSymbol,
            int line,
            int charPositionInLine,
            string msg,
            RecognitionException e
        )
        {
            if (Problem is not null)
            {
                return;
            }
            var atEnd = offendingSymbol.Type == TokenConstants.EOF;
            var start = atEnd ? text.Length : offendingSymbol.StartIndex;
            var length = atEnd ? 1 : offendingSymbol.StopIndex - start + 1;
            var open = text.Count(c => c is '(') - text.Count(c => c is ')');
            Problem = atEnd switch
            {
                true when open > 0 => new ParsedExpression(
                    null,
                    "the expression ends with a parenthesis open",
                    start,
                    1,
                    "add )"
                ),
                true => new ParsedExpression(
                    null,
                    "the expression ends where a value should follow",
                    start
                ),
                false => new ParsedExpression(
                    null,
                    $"the expression cannot go on with {text.Substring(start, length)} here",
                    start,
                    length
                ),
            };
        }
    }
}
