using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Kinds of two-terminal parts, for what is a likely value.</summary>
internal enum PartKind
{
    /// <summary>Ohms.</summary>
    Resistor,

    /// <summary>Farads.</summary>
    Capacitor,

    /// <summary>Henries.</summary>
    Inductor,
}

/// <summary>Values of resistors, capacitors and inductors, with advice where a suffix looks mistaken.</summary>
internal static class PartValues
{
    // Common practice in audio equipment, no source: nothing smaller or larger than these is a part on a chassis.
    private const double LeastOhms = 1e-3;
    private const double MostOhms = 1e12;
    private const double MostFarads = 1.0;
    private const double LeastFarads = 1e-14;
    private const double MostHenries = 1e4;

    /// <summary>
    /// The value in a field: a number, an expression, or a letter code such as <c>R47</c> when no parameter has that name. Null when it is
    /// none, which is then reported.
    /// </summary>
    public static double? PartValue(this ElementCard card, Field field, PartKind kind)
    {
        var text = ValueText.Of(card.Card, field);
        if (SpiceNumber.TryParse(text.Span, out var value, out var style))
        {
            Advise(card, field, kind, value, style);
            return value;
        }
        if (
            field.Kind == FieldKind.Word
            && SpiceNumber.TryParseLeadingLetter(text.Span, out value)
            && card.Scope.FindParameter(field.Word) is null
        )
        {
            return value;
        }
        return card.Number(field);
    }

    private static void Advise(
        ElementCard card,
        Field field,
        PartKind kind,
        double value,
        NumberStyle style
    )
    {
        if (style == NumberStyle.LetterCode)
        {
            card.NoteLetterCode(field, value);
        }
        var word = card.Card.Slice(field.Start, field.HeadEnd);
        var size = Math.Abs(value);
        var stem = word.TrimEnd('m', 'M', 'f', 'F');
        switch (kind)
        {
            case PartKind.Resistor when style == NumberStyle.Milli && size < 0.1:
                card.Warn(
                    field,
                    $"{word} is {EngineeringNotation.Format(value, "Ω")}: M is milli in a netlist",
                    $"write {stem}Meg for megohms"
                );
                break;
            case PartKind.Capacitor when style == NumberStyle.Femto && size < LeastFarads * 1e2:
                card.Warn(
                    field,
                    $"{word} is {EngineeringNotation.Format(value, "F")}: F is femto in a netlist",
                    $"write {stem} for farads, {stem}u for microfarads"
                );
                break;
            case PartKind.Resistor when size is > 0 and < LeastOhms or > MostOhms:
                Unlikely(card, field, word, EngineeringNotation.Format(value, "Ω"), "resistor");
                break;
            case PartKind.Capacitor when size > MostFarads:
                Unlikely(card, field, word, EngineeringNotation.Format(value, "F"), "capacitor");
                break;
            case PartKind.Inductor when size > MostHenries:
                Unlikely(card, field, word, EngineeringNotation.Format(value, "H"), "inductor");
                break;
        }
    }

    private static void Unlikely(
        ElementCard card,
        Field field,
        string word,
        string value,
        string part
    ) => card.Warn(field, $"{word} is {value}, which is unlikely for a {part}", "check the suffix");
}
