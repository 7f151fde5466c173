using System.Collections.Immutable;

namespace NetAudit.Jobs;

/// <summary>Where the first checks found reason to doubt insulation: said beside every reading that is proposed.</summary>
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

    /// <summary>The doubts of a job, in the order of its checks, each with what the note says.</summary>
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
        ];
    }

    private static string Short(string note) => note.Length > 200 ? note[..200] + "…" : note;
}
