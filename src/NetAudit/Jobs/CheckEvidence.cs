using NetAudit.Circuits;
using NetAudit.Expectations;

namespace NetAudit.Jobs;

/// <summary>
/// Answers to the first checks as observations that can be weighed. What was seen counts at the parts that the note names; what was looked
/// at and found sound counts at every part of its class; what is between the wall and the unit counts at its supplies. An open earth shows in
/// no reading: it only warns.
/// </summary>
public static class CheckEvidence
{
    private const string Blown = "blown";
    private const string Sound = "clean";

    /// <summary>What a look at a named part shows, by check and answer; the words of readings.</summary>
    private static readonly Dictionary<(string Check, string Answer), string> AtNamedParts = new()
    {
        [(FirstChecks.Capacitors, "bulging")] = "bulging",
        [(FirstChecks.Capacitors, "leaking")] = "bulging",
        [(FirstChecks.Burnt, "found")] = "burnt",
        [(FirstChecks.Tubes, "loose")] = "loose",
        [(FirstChecks.Tubes, "cracked or white inside")] = "cracked",
    };

    /// <summary>What a look at the way from the wall says of every supply.</summary>
    private static readonly Dictionary<(string Check, string Answer), string> AtSupplies = new()
    {
        [(FirstChecks.MainsLead, "damaged")] = "frayed",
        [(FirstChecks.Selector, "set to another voltage")] = "misset",
    };

    /// <summary>What one answer amounts to; nothing when it accuses no part.</summary>
    public static IEnumerable<Reading> Of(CheckAnswer answer, Amplifier amplifier)
    {
        ArgumentNullException.ThrowIfNull(answer);
        ArgumentNullException.ThrowIfNull(amplifier);
        return
            FirstChecks.Of(amplifier).FirstOrDefault(check => check.Key == answer.Check)
                is { } check
            ? Of(check, answer, amplifier)
            : [];
    }

    private static IEnumerable<Reading> Of(FirstCheck check, CheckAnswer given, Amplifier amplifier)
    {
        if (check.IsFuse)
        {
            return given.Answer == Blown ? [Look(check.Question, null, Blown)] : [];
        }
        if (AtSupplies.TryGetValue((check.Key, given.Answer), out var seen))
        {
            return amplifier
                .Parts.Where(part => part.Class == PartClass.Supply)
                .Select(part => Look(part.Name, part.Name, seen));
        }
        if (AtNamedParts.TryGetValue((check.Key, given.Answer), out var word))
        {
            return Named(given.Note, amplifier).Select(part => Look(part.Name, part.Name, word));
        }
        PartClass? whole =
            given.Answer != check.Answers[0] ? null
            : check.Key == FirstChecks.Capacitors ? PartClass.Electrolytic
            : check.Key == FirstChecks.Tubes ? PartClass.Tube
            : null;
        return amplifier
            .Parts.Where(part => part.Class == whole)
            .Select(part => Look(part.Name, part.Name, Sound));
    }

    /// <summary>Parts that a note names.</summary>
    private static IEnumerable<Part> Named(string note, Amplifier amplifier) =>
        note.Split([' ', ',', ';', '.', ':', '(', ')', '/', '\t', '\r', '\n'])
            .Where(word => word.Length > 0)
            .Select(amplifier.FindPart)
            .OfType<Part>()
            .Distinct();

    private static Reading Look(string at, string? part, string word) =>
        new(
            at,
            -1,
            ReadingKind.Look,
            double.NaN,
            word,
            part,
            Ref: null,
            RefNode: 0,
            Condition.Normal,
            Note: "first checks",
            default
        );
}
