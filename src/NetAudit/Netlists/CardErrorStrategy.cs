using Antlr4.Runtime;
using NetAudit.Netlists.Generated;

namespace NetAudit.Netlists;

/// <summary>After a fault the rest of the card is skipped: guessing at tokens would only give follow-up faults.</summary>
internal sealed class CardErrorStrategy : DefaultErrorStrategy
{
    /// <summary>Skips to the end of the card.</summary>
    public static void SkipCard(ITokenStream tokens)
    {
        while (tokens.LA(1) is not (CardLexer.EOL or TokenConstants.EOF))
        {
            tokens.Consume();
        }
    }

    /// <inheritdoc/>
    public override void Recover(Parser recognizer, RecognitionException e) =>
        SkipCard((ITokenStream)recognizer.InputStream);

    /// <inheritdoc/>
    public override IToken RecoverInline(Parser recognizer) =>
        throw new InputMismatchException(recognizer);

    /// <inheritdoc/>
    public override void Sync(Parser recognizer) { }
}
