using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Diagnosis;

/// <summary>The verdict in one sentence.</summary>
public static class VerdictWords
{
    /// <summary>The verdict with its probability.</summary>
    public static string Sentence(DiagnosisResult result) =>
        result.Verdict switch
        {
            Verdict.WithinLimits =>
                "Nothing wrong that these readings can show: together they are plausible for a healthy unit "
                    + $"({Figures.Probability(result.Healthy)}).",
            Verdict.Fault => $"Fault, most likely {Faults(result.Suspects[0].Faults)} "
                + $"({Figures.Probability(result.Suspects[0].Probability)}).",
            _ =>
                "Something is wrong that no suspect explains: neither a healthy unit nor any set of faults weighed here gives these "
                    + "readings. Check the readings, the condition of the controls, and that the circuit is this revision.",
        };

    /// <summary>Less is not worth a sentence.</summary>
    private const double LeastUnseen = 0.05;

    /// <summary>What may be wrong besides the first suspect, in a sentence; null when that is improbable or there is none.</summary>
    public static string? Besides(DiagnosisResult result) =>
        result.Verdict == Verdict.Fault && result.Unseen >= LeastUnseen
            ? $"Besides it something else may be wrong that these readings do not show ({Figures.Probability(result.Unseen)})."
            : null;

    /// <summary>The faults of a set in words: <c>R3 open, together with V2 weak</c>.</summary>
    public static string Faults(ImmutableArray<Fault> faults) =>
        string.Join(", together with ", faults.Select(fault => fault.Describe()));
}
