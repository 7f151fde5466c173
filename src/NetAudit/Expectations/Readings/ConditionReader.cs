using NetAudit.Circuits.Sheets;
using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Expectations;

/// <summary>Reads the condition column: terms joined by semicolons.</summary>
internal sealed class ConditionReader(
    ServiceSheet sheet,
    PlaceFinder places,
    DiagnosticList diagnostics
)
{
    /// <summary>No wall outlet has more volts RMS.</summary>
    private const double MostMains = 500;

    private static readonly char[] Blanks = [' ', '\t'];

    /// <summary>The condition, or null when a term is not understood, which is reported.</summary>
    public Condition? Read(Cell text)
    {
        if (text.IsBlank)
        {
            return Condition.Normal;
        }
        var terms = new List<ConditionTerm>();
        var sound = true;
        var start = 0;
        foreach (var piece in text.Text.Split(';'))
        {
            var cell = text.Slice(start, piece.Length);
            start += piece.Length + 1;
            if (cell.IsBlank)
            {
                continue;
            }
            if (Term(cell) is not { } term)
            {
                sound = false;
            }
            else if (terms.Find(other => Subject(other) == Subject(term)) is { } other)
            {
                diagnostics.Error(
                    cell.Where,
                    $"\"{cell.Text}\" and \"{other}\" cannot both hold",
                    "leave one of them out"
                );
                sound = false;
            }
            else
            {
                terms.Add(term);
            }
        }
        return sound ? Condition.Of(terms) : null;
    }

    private ConditionTerm? Term(Cell cell)
    {
        var equals = cell.Text.IndexOf('=', StringComparison.Ordinal);
        if (equals >= 0)
        {
            return Setting(
                cell.Slice(0, equals),
                cell.Slice(equals + 1, cell.Text.Length - equals - 1)
            );
        }
        var blank = cell.Text.IndexOfAny(Blanks);
        var verb = blank < 0 ? cell : cell.Slice(0, blank);
        var rest =
            blank < 0
                ? cell.Slice(cell.Text.Length, 0)
                : cell.Slice(blank, cell.Text.Length - blank);
        return verb.Text.ToLowerInvariant() switch
        {
            "off" when rest.IsBlank => new PowerOff(),
            "pull" => places.Tube(rest) is { } pulled ? new TubePulled(pulled) : null,
            "swap" => places.Tube(rest) is { } swapped ? new TubeSwapped(swapped) : null,
            "inject" => Inject(rest),
            "link" => Link(rest),
            _ => Position(cell),
        };
    }

    private ConditionTerm? Setting(Cell name, Cell value)
    {
        var isMains = name.Text.Equals("mains", StringComparison.OrdinalIgnoreCase);
        var isSignal = name.Text.Equals("signal", StringComparison.OrdinalIgnoreCase);
        if (isMains || isSignal)
        {
            if (
                !EngineeringNotation.TryParse(value.Text, out var volts)
                || volts < 0
                || (isMains && volts > MostMains)
            )
            {
                return isMains
                    ? Fail(
                        value,
                        $"\"{value.Text}\" is no wall voltage",
                        "write volts RMS, mains=120"
                    )
                    : Fail(value, $"\"{value.Text}\" is no voltage", "write volts RMS, signal=50m");
            }
            return isMains ? new MainsVoltage(volts) : new SignalLevel(volts);
        }
        if (name.Text.Equals("load", StringComparison.OrdinalIgnoreCase))
        {
            return EngineeringNotation.TryParse(value.Text, out var ohms) && ohms > 0
                ? new LoadOhms(ohms)
                : Fail(value, $"\"{value.Text}\" is no load", "write ohms above 0, load=4");
        }
        var control = sheet.Controls.FirstOrDefault(control => Same(control.Name, name.Text));
        if (control is not null)
        {
            return
                EngineeringNotation.TryParse(value.Text, out var position)
                && position is >= 0 and <= 1
                ? new ControlSetting(control.Name, position)
                : Fail(
                    value,
                    $"\"{value.Text}\" is no position of {control.Name}",
                    "write a number from 0 to 1"
                );
        }
        var found = sheet.Switches.FirstOrDefault(found => Same(found.Name, name.Text));
        if (found is null)
        {
            var names = sheet
                .Controls.Select(control => control.Name)
                .Concat(sheet.Switches.Select(other => other.Name))
                .Append("mains")
                .Append("signal")
                .Append("load");
            return Fail(
                name,
                $"the sheet has no control or switch \"{name.Text}\"",
                Suggestions.DidYouMean(name.Text, names)
            );
        }
        var at = found.Positions.FirstOrDefault(at => Same(at.Name, value.Text));
        return at is not null
            ? new SwitchSetting(found.Name, at.Name)
            : Fail(
                value,
                $"switch {found.Name} has no position \"{value.Text}\"",
                Suggestions.DidYouMean(value.Text, found.Positions.Select(other => other.Name))
            );
    }

    // A bare word is a position of some switch: standby.
    private SwitchSetting? Position(Cell word)
    {
        foreach (var found in sheet.Switches)
        {
            if (found.Positions.FirstOrDefault(at => Same(at.Name, word.Text)) is { } at)
            {
                return new SwitchSetting(found.Name, at.Name);
            }
        }
        var words = sheet
            .Switches.SelectMany(found => found.Positions.Select(at => at.Name))
            .Append("off");
        Fail(
            word,
            $"the condition \"{word.Text}\" is not known",
            Suggestions.DidYouMean(word.Text, words)
                ?? "write off, a switch position of the sheet, mains=…, CONTROL=…, signal=…, load=…, pull, swap, inject or link"
        );
        return null;
    }

    private SignalInjected? Inject(Cell text)
    {
        if (places.Node(text) is not { } node)
        {
            return null;
        }
        if (node == 0)
        {
            Fail(text, "a signal fed into chassis goes nowhere", "name the point it is fed into");
            return null;
        }
        return new SignalInjected(places.Spelling(node), node);
    }

    private NodesLinked? Link(Cell text)
    {
        var blank = text.Text.IndexOfAny(Blanks);
        if (blank < 0)
        {
            Fail(text, "a link joins two points", "write link A B");
            return null;
        }
        var first = places.Node(text.Slice(0, blank));
        var second = places.Node(text.Slice(blank, text.Text.Length - blank));
        if (first is not { } a || second is not { } b)
        {
            return null;
        }
        if (a == b)
        {
            Fail(text, "both ends of the link are the same node", "name two points");
            return null;
        }
        // A lead has no direction; chassis is named last.
        if (b != 0 && (a == 0 || a > b))
        {
            (a, b) = (b, a);
        }
        return new NodesLinked(places.Spelling(a), a, places.Spelling(b), b);
    }

    // What a term is about: a unit has one of each.
    private static string Subject(ConditionTerm term) =>
        term switch
        {
            SwitchSetting setting => "switch " + setting.Switch,
            ControlSetting setting => "control " + setting.Control,
            TubePulled or TubeSwapped => term.ToString()![4..],
            NodesLinked => term.ToString()!,
            _ => term.GetType().Name,
        };

    private ConditionTerm? Fail(Cell cell, string message, string? mend)
    {
        diagnostics.Error(cell.Where, message, mend);
        return null;
    }

    private static bool Same(string a, string b) => a.Equals(b, StringComparison.OrdinalIgnoreCase);
}
