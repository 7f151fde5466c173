using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Reads the dot cards that define no names: temperature, start values; analysis and output cards are read over with a note.</summary>
internal sealed class ControlCardReader(ElaborationState state, ExpressionResolver expressions)
{
    private static readonly string[] Known =
    [
        ".temp",
        ".options",
        ".nodeset",
        ".ic",
        ".param",
        ".func",
        ".model",
        ".subckt",
        ".include",
        ".lib",
        ".global",
        ".if",
        ".end",
        ".ends",
    ];

    private static readonly HashSet<string> ReadOver = new(StringComparer.OrdinalIgnoreCase)
    {
        ".op",
        ".tran",
        ".ac",
        ".dc",
        ".tf",
        ".noise",
        ".disto",
        ".pz",
        ".sens",
        ".four",
        ".fft",
        ".sp",
        ".hb",
        ".print",
        ".plot",
        ".probe",
        ".probe64",
        ".save",
        ".meas",
        ".measure",
        ".width",
        ".step",
        ".wave",
        ".title",
        ".control",
        ".endc",
        ".backanno",
        ".net",
        ".alter",
        ".data",
        ".enddata",
        ".mc",
        ".wcase",
        ".stimulus",
        ".csparam",
        ".end",
        ".protect",
        ".unprotect",
        ".text",
        ".ascii",
    };

    /// <summary>Reads one dot card.</summary>
    public void Read(Card card, Scope scope)
    {
        switch (card.Name.ToLowerInvariant())
        {
            case ".temp":
                if (card.Fields.Length > 1)
                {
                    SetTemperature(card, ValueText.Of(card, card.Fields[1]), scope);
                }
                break;
            case ".options" or ".option" or ".opt":
                foreach (var (name, value) in ValueText.Assignments(card, card.Fields, 1))
                {
                    if (name.Is("temp") && value is { } text)
                    {
                        SetTemperature(card, text, scope);
                    }
                }
                break;
            case ".nodeset" or ".ic":
                ReadHints(card, scope);
                break;
            case var name when ReadOver.Contains(name):
                Report(
                    Severity.Note,
                    card,
                    $"{card.Name} is read over: only the operating point is worked out"
                );
                break;
            default:
                Report(
                    Severity.Warning,
                    card,
                    $"{card.Name} is not a card this program knows; it is passed over",
                    Suggestions.DidYouMean(card.Name, Known)
                );
                break;
        }
    }

    private void SetTemperature(Card card, ValueText text, Scope scope)
    {
        if (expressions.Evaluate(text, scope) is not { } celsius)
        {
            return;
        }
        if (celsius is > -273.15 and < 2000)
        {
            state.Temperature = celsius;
        }
        else
        {
            state.Report(Severity.Error, text, $"{celsius:R} °C is no temperature");
        }
    }

    private void ReadHints(Card card, Scope scope)
    {
        foreach (var (name, value) in ValueText.Assignments(card, card.Fields, 1))
        {
            if (
                name is not { Kind: FieldKind.Group, Inner: [var node, ..] }
                || !name.Is("v")
                || value is not { } text
            )
            {
                Report(
                    Severity.Warning,
                    card,
                    $"{card.Name} is written v(node)=value; this one is passed over"
                );
                continue;
            }
            if (expressions.Evaluate(text, scope) is { } volts)
            {
                state.Deferred.Add(() => AddHint(card, scope, node, volts));
            }
        }
    }

    private void AddHint(Card card, Scope scope, Field field, double volts)
    {
        var name = card.Slice(field.Start, field.HeadEnd);
        var node = state.FindNode(scope, name);
        if (node > 0)
        {
            state.Hints.Add((node, volts));
        }
        else if (node < 0)
        {
            state.Report(
                Severity.Warning,
                card,
                field,
                $"there is no node {name}",
                Suggestions.DidYouMean(name, state.Nodes.Select(known => known.Name))
            );
        }
    }

    private void Report(Severity severity, Card card, string message, string? mend = null) =>
        state.Report(severity, card, card.Fields[0], message, mend);
}
