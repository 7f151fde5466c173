using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Circuits;

namespace NetAudit.Jobs;

/// <summary>Something to look at before the unit is powered.</summary>
/// <param name="Key">Name in files.</param>
/// <param name="Question">What to look at.</param>
/// <param name="Answers">The answers offered; the first is what a sound unit gives.</param>
/// <param name="Advice">What an answer other than the first means for the work.</param>
public sealed record FirstCheck(
    string Key,
    string Question,
    ImmutableArray<string> Answers,
    string Advice
)
{
    /// <summary>True for the check of a fuse.</summary>
    public bool IsFuse { get; init; }
}

/// <summary>The first checks of an amplifier: common practice, no source.</summary>
public static class FirstChecks
{
    /// <summary>Longest answer or note in characters.</summary>
    public const int LongestAnswer = 2_000;

    internal const string MainsLead = "mains-lead";
    internal const string Selector = "selector";
    internal const string NoSelector = "none fitted";
    internal const string Capacitors = "capacitors";
    internal const string Burnt = "burnt";
    internal const string Tubes = "tubes";

    /// <summary>The checks for an amplifier; one for each fuse of its sheet.</summary>
    /// <param name="amplifier">The amplifier, or null when its circuit is not known.</param>
    public static ImmutableArray<FirstCheck> Of(Amplifier? amplifier) =>
        [
            new(
                MainsLead,
                "Mains lead, plug and protective earth",
                ["sound", "damaged", "earth open"],
                "Put the lead and the protective earth right before anything else; do not power the unit until then."
            ),
            .. Fuses(amplifier),
            new(
                Selector,
                "Mains voltage selector",
                ["as the wall", "set to another voltage", NoSelector],
                "A selector set to another voltage shifts every supply in the unit: set it to the wall's, and see what it has overloaded."
            ),
            new(
                Capacitors,
                "Electrolytic capacitors",
                ["look sound", "bulging", "leaking"],
                "Replace before power is applied; name it in the note (C5), and it is weighed."
            ),
            new(
                Burnt,
                "Burnt or discoloured parts",
                ["none", "found"],
                "Name the part in the note (R12), and it is weighed: it is where current went, and not always where the fault is."
            ),
            new(
                Tubes,
                "Tubes and their sockets",
                ["seated and whole", "loose", "cracked or white inside", "one missing"],
                "Name the tube in the note (V3), and it is weighed. A white getter means that air got in: the tube is finished."
            ),
        ];

    /// <summary>What an answer warns of, or null when it is what a sound unit gives.</summary>
    public static string? Warning(FirstCheck check, string answer)
    {
        ArgumentNullException.ThrowIfNull(check);
        var isSound = answer == check.Answers[0] || answer == NoSelector;
        return answer.Length == 0 || isSound ? null : check.Advice;
    }

    private static IEnumerable<FirstCheck> Fuses(Amplifier? amplifier)
    {
        foreach (var fuse in amplifier?.Sheet.Fuses ?? [])
        {
            var rating = Rating(fuse.RatedAmps, fuse.Speed);
            yield return new FirstCheck(
                $"fuse {fuse.Name}",
                rating is null ? fuse.Name : $"{fuse.Name}: the sheet says {rating}",
                ["rated value, whole", "blown", "another value fitted", "bridged"],
                rating is null
                    ? "Fit the maker's value. A blown fuse is a symptom: find what blew it first."
                    : $"Fit {rating} and nothing else. A blown fuse is a symptom: find what blew it first."
            )
            {
                IsFuse = true,
            };
        }
        var mains = amplifier?.Sheet.Mains.Fuse is { } known
            ? Rating(known.RatedAmps, known.Speed)
            : null;
        yield return new FirstCheck(
            "mains-fuse",
            mains is null
                ? "Mains fuse, against the value printed on the unit"
                : $"Mains fuse: the sheet says {mains}",
            ["rated value, whole", "blown", "another value fitted", "bridged"],
            $"Fit {mains ?? "the value printed on the unit"} and nothing else. A blown fuse is a symptom: find what blew it first."
        )
        {
            IsFuse = true,
        };
    }

    private static string? Rating(double? amps, string? speed) =>
        amps is { } rated
            ? string.Create(
                    CultureInfo.InvariantCulture,
                    $"{(rated < 1 ? rated * 1000 : rated):0.##} {(rated < 1 ? "mA" : "A")} {speed}"
                )
                .TrimEnd()
            : null;
}
