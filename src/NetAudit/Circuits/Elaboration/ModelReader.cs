using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Finds and reads <c>.model</c> cards, each once.</summary>
internal sealed class ModelReader(ElaborationState state, ExpressionResolver expressions)
{
    private static readonly string[] KnownKinds =
    [
        "d",
        "npn",
        "pnp",
        "njf",
        "pjf",
        "nmos",
        "pmos",
        "r",
        "c",
        "l",
        "sw",
        "csw",
    ];

    /// <summary>Other names of kinds.</summary>
    private static readonly Dictionary<string, string> KindNames = new()
    {
        ["res"] = "r",
        ["cap"] = "c",
        ["ind"] = "l",
        ["vswitch"] = "sw",
        ["iswitch"] = "csw",
    };

    /// <summary>
    /// Older names of parameters by kind, as SPICE2 decks have them (SPICE3 user manual, section 3.4.4; the names from the Berkeley
    /// example decks and common practice).
    /// </summary>
    private static readonly Dictionary<string, Dictionary<string, string>> OldNames = new()
    {
        ["bjt"] = new()
        {
            ["va"] = "vaf",
            ["vb"] = "var",
            ["ik"] = "ikf",
            ["pe"] = "vje",
            ["me"] = "mje",
            ["pc"] = "vjc",
            ["mc"] = "mjc",
            ["ps"] = "vjs",
            ["ms"] = "mjs",
            ["ccs"] = "cjs",
            ["c2"] = "c2",
            ["nle"] = "ne",
            ["nlc"] = "nc",
            ["tref"] = "tnom",
        },
        ["d"] = new()
        {
            ["vb"] = "bv",
            ["cj0"] = "cjo",
            ["cj"] = "cjo",
            ["pb"] = "vj",
            ["mj"] = "m",
            ["tref"] = "tnom",
        },
        ["fet"] = new()
        {
            ["vt0"] = "vto",
            ["u0"] = "uo",
            ["tref"] = "tnom",
        },
    };

    /// <summary>The model that a field names, which must be of one of the kinds; null when it is not, which is then reported.</summary>
    public DeviceModel? Read(ElementCard card, Field field, params ReadOnlySpan<string> kinds)
    {
        if (card.Scope.FindModel(field.Word) is not { } slot)
        {
            card.Complain(
                field,
                $"unknown model {card.Card.Slice(field.Start, field.HeadEnd)}",
                Suggestions.DidYouMean(field.Word, card.Scope.ModelNames)
            );
            return null;
        }
        slot.Model ??= ReadCard(slot);
        if (slot.Model.Kind.Length > 0 && !kinds.Contains(slot.Model.Kind))
        {
            card.Complain(
                field,
                $"model {slot.Model.Name} is of kind {slot.Model.Kind}; {card.Card.Name} needs {string.Join(" or ", kinds.ToArray())}"
            );
            return null;
        }
        return slot.Model.Kind.Length > 0 ? slot.Model : null;
    }

    private DeviceModel ReadCard(ModelSlot slot)
    {
        var card = slot.Card;
        var kindField = card.Fields[2];
        var kind = kindField.Word.ToLowerInvariant();
        kind = KindNames.GetValueOrDefault(kind, kind);
        var name = card.Fields[1].Word;
        var none = ImmutableDictionary<string, double>.Empty;
        if (!KnownKinds.Contains(kind))
        {
            state.Report(
                Severity.Error,
                card,
                kindField,
                $"a model cannot be of kind {card.Slice(kindField.Start, kindField.HeadEnd)}",
                Suggestions.DidYouMean(kind, KnownKinds)
            );
            return new DeviceModel(name, "", none, card.Where);
        }
        var parameters = none.ToBuilder();
        var renamed = OldNames.GetValueOrDefault(Family(kind));
        foreach (var (field, value) in Assignments(card, kindField))
        {
            var key = field.Word.ToLowerInvariant();
            key = renamed?.GetValueOrDefault(key, key) ?? key;
            if (value is { } text && Value(card, field, text, slot.Scope) is { } number)
            {
                parameters[key] = number;
            }
        }
        NormaliseLeakage(kind, parameters);
        CheckLevel(card, kind, parameters);
        return new DeviceModel(name, kind, parameters.ToImmutable(), card.Where);
    }

    /// <summary>Parameters stand in parentheses after the kind or without them.</summary>
    private static IEnumerable<(Field Name, ValueText? Value)> Assignments(
        Card card,
        Field kindField
    )
    {
        var inside = Pairs(card, kindField.Inner, 0);
        var group =
            card.Fields.Length > 3 && card.Fields[3] is { Kind: FieldKind.Group, Word: "" }
                ? Pairs(card, card.Fields[3].Inner, 0)
                : [];
        return inside.Concat(group).Concat(Pairs(card, card.Fields, 3));
    }

    /// <summary>Assignments, or names and values by turns without <c>=</c>, as in the SPICE3 manual's own decks (<c>BF 20 RB 100</c>).</summary>
    private static IEnumerable<(Field Name, ValueText? Value)> Pairs(
        Card card,
        Field[] fields,
        int first
    )
    {
        if (fields.Skip(first).Any(field => field.IsAssignment))
        {
            return ValueText.Assignments(card, fields, first);
        }
        return fields
            .Skip(first)
            .Chunk(2)
            .Where(pair => pair is [{ Kind: FieldKind.Word }, _])
            .Select(pair => (pair[0], (ValueText?)ValueText.Of(card, pair[1])));
    }

    private double? Value(Card card, Field field, ValueText text, Scope scope)
    {
        // Words such as mfg=NAME describe the part and are no numbers.
        if (
            field.Value is { Kind: FieldKind.Word or FieldKind.Text } word
            && !SpiceNumber.TryParse(text.Span, out _, out _)
            && scope.FindParameter(word.Word) is null
            && IsPlainWord(word.Word)
        )
        {
            state.Report(
                Severity.Note,
                card,
                field,
                $"{field.Word}={word.Word} is no number and is passed over"
            );
            return null;
        }
        return expressions.Evaluate(text, scope);
    }

    private static bool IsPlainWord(string word)
    {
        return word.Length == 0
            || (
                char.IsLetter(word[0]) && word.All(c => char.IsLetterOrDigit(c) || c is '_' or '-')
            );
    }

    /// <summary>SPICE2 gave the leakage currents of a transistor as multiples of IS: C2 and C4.</summary>
    private static void NormaliseLeakage(
        string kind,
        ImmutableDictionary<string, double>.Builder parameters
    )
    {
        if (Family(kind) != "bjt")
        {
            return;
        }
        var saturation = parameters.GetValueOrDefault("is", 1e-16);
        foreach (var (old, modern) in new[] { ("c2", "ise"), ("c4", "isc") })
        {
            if (parameters.Remove(old, out var multiple))
            {
                parameters.TryAdd(modern, multiple * saturation);
            }
        }
    }

    private void CheckLevel(
        Card card,
        string kind,
        ImmutableDictionary<string, double>.Builder parameters
    )
    {
        var level = parameters.GetValueOrDefault("level", 1);
        if (level != 1 && Family(kind) is "bjt" or "fet" && level != 1)
        {
            state.Report(
                Severity.Warning,
                card,
                card.Fields[2],
                $"only level 1 of this model is known; level {level} is read as level 1"
            );
        }
    }

    private static string Family(string kind) =>
        kind switch
        {
            "npn" or "pnp" => "bjt",
            "njf" or "pjf" or "nmos" or "pmos" => "fet",
            _ => kind,
        };
}
