using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Expectations;

/// <summary>The fields of one line.</summary>
internal readonly record struct ReadingCells(
    Cell At,
    Cell Kind,
    Cell Value,
    Cell Ref,
    Cell Condition,
    Cell Note
);

/// <summary>Makes readings of fields, and reports every field that is wrong.</summary>
internal sealed class ReadingBuilder
{
    /// <summary>No meter of a bench goes further, volts.</summary>
    private const double MostVolts = 1e5;

    /// <summary>What can be said of each observation.</summary>
    private static readonly Dictionary<ReadingKind, string[]> Words = new()
    {
        [ReadingKind.Tap] = ["noisy", "normal", "none", "weak"],
        [ReadingKind.Wiggle] = ["noisy", "normal"],
        [ReadingKind.Look] =
        [
            "burnt",
            "bulging",
            "loose",
            "cracked",
            "misset",
            "frayed",
            "clean",
            "normal",
        ],
        [ReadingKind.Listen] = ["none", "weak", "normal", "noisy", "hums", "distorted"],
    };

    /// <summary>What can be said of the way from the wall to a supply, and of nothing else.</summary>
    private static readonly string[] OfSupplies = ["misset", "frayed"];

    private readonly DiagnosticList diagnostics;
    private readonly PlaceFinder places;
    private readonly ConditionReader conditions;

    public ReadingBuilder(Amplifier amplifier, DiagnosticList diagnostics)
    {
        this.diagnostics = diagnostics;
        places = new PlaceFinder(amplifier, diagnostics);
        conditions = new ConditionReader(amplifier.Sheet, places, diagnostics);
    }

    public PlaceFinder Places => places;

    public static IEnumerable<string> KindNames =>
        Enum.GetNames<ReadingKind>().Select(name => name.ToLowerInvariant());

    public static ReadingKind? KindOf(string text)
    {
        foreach (var kind in Enum.GetValues<ReadingKind>())
        {
            if (kind.ToString().Equals(text, StringComparison.OrdinalIgnoreCase))
            {
                return kind;
            }
        }
        return null;
    }

    /// <summary>The reading, or null when something is wrong with it.</summary>
    public Reading? Build(ReadingCells cells)
    {
        var kind = cells.Kind.IsBlank ? ReadingKind.Dc : KindOf(cells.Kind.Text);
        var condition = conditions.Read(cells.Condition);
        if (kind is null)
        {
            diagnostics.Error(
                cells.Kind.Where,
                $"\"{cells.Kind.Text}\" is no kind of reading",
                Suggestions.DidYouMean(cells.Kind.Text, KindNames)
                    ?? $"write one of {string.Join(", ", KindNames)}"
            );
            return null;
        }
        return kind <= ReadingKind.Ohms
            ? Measured(cells, kind.Value, condition)
            : Observed(cells, kind.Value, condition);
    }

    private Reading? Measured(ReadingCells cells, ReadingKind kind, Condition? condition)
    {
        if (cells.Ref.IsBlank && places.Difference(cells.At) is var (first, second))
        {
            cells = cells with { At = first, Ref = second };
        }
        var across =
            kind == ReadingKind.Ohms && cells.Ref.IsBlank ? places.Across(cells.At.Text) : null;
        var node = across?.First ?? (At(cells.At) ? places.Node(cells.At) : null);
        var reference = across?.Second ?? (cells.Ref.IsBlank ? 0 : places.Node(cells.Ref));
        var value = Value(cells.Value, kind);
        if (node is null || reference is null || value is null || condition is null)
        {
            return null;
        }
        if (node == reference)
        {
            diagnostics.Add(
                Severity.Warning,
                cells.At.Where,
                "both probes are on the same node, so the reading tells nothing",
                null
            );
        }
        if (kind == ReadingKind.Ohms && !condition.IsOff)
        {
            diagnostics.Add(
                Severity.Warning,
                cells.At.Where,
                "resistance is read with the power off; the reading is taken so",
                "write off in the condition column"
            );
            condition = Condition.Of(condition.Terms.Add(new PowerOff()));
        }
        return new Reading(
            cells.At.Text,
            node.Value,
            kind,
            value.Value,
            Word: null,
            Part: null,
            cells.Ref.IsBlank ? null : cells.Ref.Text,
            reference.Value,
            condition,
            cells.Note.Text,
            cells.At.Where
        );
    }

    private Reading? Observed(ReadingCells cells, ReadingKind kind, Condition? condition)
    {
        var words = Words[kind];
        var word = words.FirstOrDefault(word =>
            word.Equals(cells.Value.Text, StringComparison.OrdinalIgnoreCase)
        );
        if (word is null)
        {
            diagnostics.Error(
                cells.Value.Where,
                $"\"{cells.Value.Text}\" is no word for {kind.Name()}",
                Suggestions.DidYouMean(cells.Value.Text, words)
                    ?? $"write one of {string.Join(", ", words)}"
            );
        }
        if (!At(cells.At))
        {
            return null;
        }
        var part = places.TryPart(cells.At.Text);
        var node = part is null ? places.TryNode(cells.At.Text) : null;
        if (part is null && node is null)
        {
            places.UnknownPlace(cells.At);
            return null;
        }
        if (OfSupplies.Contains(word) && part?.Class != PartClass.Supply)
        {
            diagnostics.Error(
                cells.Value.Where,
                $"\"{word}\" is said of a supply, and {cells.At.Text} is none",
                "name the supply (the selector or the lead before it), or write burnt, loose, cracked"
            );
            return null;
        }
        return word is null || condition is null
            ? null
            : new Reading(
                cells.At.Text,
                node ?? -1,
                kind,
                double.NaN,
                word,
                part?.Name,
                Ref: null,
                RefNode: 0,
                condition,
                cells.Note.Text,
                cells.At.Where
            );
    }

    private bool At(Cell at)
    {
        if (at.IsBlank)
        {
            diagnostics.Error(at.Where, "the reading does not say where it was taken", null);
        }
        return !at.IsBlank;
    }

    private double? Value(Cell value, ReadingKind kind)
    {
        var text = value.Text;
        if (text.ToUpperInvariant() is "OL" or "O.L" or "O.L." or "0L" or "∞")
        {
            return double.PositiveInfinity;
        }
        if (!EngineeringNotation.TryParse(text, out var number))
        {
            var point = text.Replace(',', '.');
            var isComma = point != text && EngineeringNotation.TryParse(point, out _);
            diagnostics.Error(
                value.Where,
                $"\"{text}\" is no number",
                isComma
                    ? $"write {point}, with a decimal point"
                    : "write a number such as 182, 1.2k or 47m, or OL for over-range"
            );
            return null;
        }
        if (number < 0 && kind != ReadingKind.Dc)
        {
            diagnostics.Error(
                value.Where,
                $"{(kind == ReadingKind.Ac ? "AC volts" : "ohms")} cannot be below zero",
                null
            );
            return null;
        }
        if (kind != ReadingKind.Ohms && Math.Abs(number) > MostVolts)
        {
            diagnostics.Error(
                value.Where,
                $"\"{text}\" is more than 100 kV",
                "check the number and its suffix: m is milli, M is mega"
            );
            return null;
        }
        return number;
    }
}
