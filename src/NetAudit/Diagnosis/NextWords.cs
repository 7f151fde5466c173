using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>The next reading in words. Thread-safe.</summary>
public static class NextWords
{
    /// <summary>Said when no reading is proposed.</summary>
    public const string NothingMore =
        "Nothing more is worth measuring: no single reading would tell enough about what is left.";

    /// <summary>What to do, and where: <c>volts DC at p4</c>, <c>ohms across R7, power off</c>.</summary>
    public static string Task(NextReading next)
    {
        ArgumentNullException.ThrowIfNull(next);
        var what = next.Kind switch
        {
            ReadingKind.Dc => $"volts DC at {next.At}",
            ReadingKind.Ac => $"signal level at {next.At}",
            ReadingKind.Ohms => $"ohms {(next.IsAcross ? "across" : "at")} {next.At}",
            ReadingKind.Listen => $"listen at {next.At}",
            _ => $"{next.Kind.Name()} {next.At}",
        };
        return string.Join(", ", next.Condition.Terms.Select(InWords).Prepend(what));
    }

    /// <summary>What it would tell: which suspects it splits, and what each outcome means.</summary>
    public static string Meaning(NextReading next)
    {
        ArgumentNullException.ThrowIfNull(next);
        var outcomes = string.Join("; ", next.Outcomes);
        return $"It {next.Why}. {outcomes}{(outcomes.Length > 0 ? "." : "")}".Trim();
    }

    private static string InWords(ConditionTerm term) =>
        term switch
        {
            PowerOff => "power off",
            MainsVoltage mains => FormattableString.Invariant($"mains at {mains.Volts:0.#} V"),
            SignalInjected injected => $"test signal fed in at {injected.Name}",
            TubeSwapped swapped => $"a known-good tube in the socket of {swapped.Tube}",
            TubePulled pulled => $"{pulled.Tube} out of its socket",
            _ => term.ToString()!,
        };
}
