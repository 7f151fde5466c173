using System.Collections.Immutable;

namespace NetAudit.Jobs;

/// <summary>Where first checks or a look gave reason to doubt insulation: said beside every reading that is proposed.</summary>
public static class InsulationDoubts
{
    private static readonly Dictionary<(string Check, string Answer), string> Doubts = new()
    {
        [(FirstChecks.MainsLead, "damaged")] =
            "The mains lead is damaged: no power and no reading under power until it is replaced.",
        [(FirstChecks.MainsLead, "earth open")] =
            "The protective earth is open: the chassis itself may be live. No power until it is put right and measured.",
        [(FirstChecks.Burnt, "found")] =
            "Burnt parts were found: insulation of wires and boards near them is doubtful. Keep probes and hand away from there under power.",
        [(FirstChecks.Capacitors, "leaking")] =
            "A capacitor has leaked: what it wetted may conduct. Do not rely on insulation there.",
        [(FirstChecks.Tubes, "cracked or white inside")] =
            "A tube's glass is broken: its electrodes may be within reach. Take it out, cold and discharged, before power.",
    };

    /// <summary>What a part looks like whose insulation is doubtful: words of readings.</summary>
    private static readonly string[] Looks = ["burnt", "cracked", "bulging"];

    /// <summary>The doubts of a job, in the order of its checks, each with what the note says; then those of looks at parts.</summary>
    public static ImmutableArray<string> Of(Job job)
    {
        ArgumentNullException.ThrowIfNull(job);
        return
        [
            .. job
                .Checks.Where(given => Doubts.ContainsKey((given.Check, given.Answer)))
                .Select(given =>
                    Doubts[(given.Check, given.Answer)]
                    + (given.Note.Length > 0 ? $" Noted: {Short(given.Note)}" : "")
                ),
            .. job.Standing(ReadingPhase.Before)
                .Where(seen => seen.Kind == "look" && Looks.Contains(seen.Value))
                .Select(seen =>
                    $"{Short(seen.At)} looks {seen.Value}: do not rely on insulation at it or beside it."
                )
                .Distinct(),
        ];
    }

    private static string Short(string note) => note.Length > 200 ? note[..200] + "…" : note;
}
