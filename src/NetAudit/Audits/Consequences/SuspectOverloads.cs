using System.Collections.Immutable;
using NetAudit.Audits.Stresses;
using NetAudit.Circuits;
using NetAudit.Diagnosis;

namespace NetAudit.Audits.Consequences;

/// <summary>Which parts suspects have overloaded: where to look besides.</summary>
public static class SuspectOverloads
{
    // Suspects that nobody will follow up need no solution.
    private const double LeastProbability = 0.01;

    /// <summary>
    /// The answer, with what each of its suspects has overloaded at rest before a fuse opened; parts that are at fault themselves are
    /// left out.
    /// </summary>
    /// <param name="result">The answer.</param>
    /// <param name="diagnoser">Whose answer it is.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static DiagnosisResult WithOverloads(
        this DiagnosisResult result,
        Diagnoser diagnoser,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(diagnoser);
        if (result.Suspects.IsEmpty || result.Verdict == Verdict.WithinLimits)
        {
            return result;
        }
        var amplifier = diagnoser.Healthy.Amplifier;
        var finder = ConsequenceFinder.Of(diagnoser);
        return result with
        {
            Suspects =
            [
                .. result.Suspects.Select(suspect =>
                    suspect.Probability >= LeastProbability
                        ? suspect with
                        {
                            Overloaded = finder.Of(suspect.Faults, cancellationToken) is { } found
                                ? Parts(amplifier, found)
                                : [],
                        }
                        : suspect
                ),
            ],
        };
    }

    /// <summary>The parts that faults have overloaded, worst first, without those at fault.</summary>
    public static ImmutableArray<OverloadedPart> Parts(Amplifier amplifier, Consequence found)
    {
        ArgumentNullException.ThrowIfNull(amplifier);
        ArgumentNullException.ThrowIfNull(found);
        var faulty = found.Faults.Select(fault => amplifier.FindPart(fault.Part)).ToHashSet();
        return
        [
            .. found
                .Overloads.Where(overload => !overload.Outlived)
                .Select(overload => (overload, Part: amplifier.FindPart(overload.Item.Part)))
                .Where(pair => pair.Part is not null && !faulty.Contains(pair.Part))
                .DistinctBy(pair => pair.Part)
                .Select(pair => new OverloadedPart(
                    pair.Part!.Name,
                    pair.overload.Item.Kind.Describe(),
                    pair.overload.Item.Kind.Unit(),
                    pair.overload.Value,
                    pair.overload.Item.Limit!.Value
                )),
        ];
    }
}
