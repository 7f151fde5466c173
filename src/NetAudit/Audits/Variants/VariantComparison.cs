using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Audits.Variants;

/// <summary>Several circuits held against the first of them. Immutable.</summary>
/// <param name="Variants">The circuits.</param>
/// <param name="Differences">How each of the others differs from the first, in order.</param>
/// <param name="Notes">What could not be compared, in words.</param>
public sealed record VariantComparison(
    ImmutableArray<Amplifier> Variants,
    ImmutableArray<VariantDifference> Differences,
    ImmutableArray<string> Notes
)
{
    /// <summary>Compares circuits, at least two, with the first.</summary>
    /// <param name="variants">The circuits.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static VariantComparison Of(
        IReadOnlyList<Amplifier> variants,
        CancellationToken cancellationToken = default
    )
    {
        var states = variants
            .Select(variant => VariantState.Of(variant, cancellationToken))
            .ToArray();
        return new(
            [.. variants],
            [.. states.Skip(1).Select(state => Compare(states[0], state, cancellationToken))],
            [
                .. states
                    .Where(state => !state.Point.Converged)
                    .Select(state =>
                        $"{state.Amplifier.Sheet.Title ?? state.Amplifier.Circuit.Title}: no operating point was found; voltages and dissipation are not compared."
                    ),
            ]
        );
    }

    private static VariantDifference Compare(
        VariantState first,
        VariantState second,
        CancellationToken cancellationToken
    )
    {
        var matching = VariantMatching.Of(first.Amplifier, second.Amplifier, cancellationToken);
        var finder = new DifferenceFinder(matching);
        var (removed, added) = finder.Unmatched();
        return new()
        {
            Matching = matching,
            Removed = removed,
            Added = added,
            Changed = finder.Changes(),
            RenamedUnits =
            [
                .. matching.Units.Where(match =>
                    !Same(matching.First[match.First].Name, matching.Second[match.Second].Name)
                ),
            ],
            RenamedNodes =
            [
                .. matching.Nodes.Where(match =>
                    !Same(NodeName(first, match.First), NodeName(second, match.Second))
                ),
            ],
            Voltages = Voltages(matching, first, second),
            Dissipations = Dissipations(matching, first, second),
            Gains = GainComparison.Stages(matching, first, second),
            Response = GainComparison.Output(matching, first, second),
        };
    }

    private static ImmutableArray<VoltageDifference> Voltages(
        VariantMatching matching,
        VariantState first,
        VariantState second
    ) =>
        [
            .. matching
                .Nodes.Where(match =>
                    first.Readings.ContainsKey(match.First)
                    && second.Readings.ContainsKey(match.Second)
                )
                .Select(match => new VoltageDifference(
                    match,
                    first.Readings[match.First],
                    second.Readings[match.Second]
                ))
                .OrderByDescending(difference => Math.Abs(difference.Deviation)),
        ];

    private static ImmutableArray<DissipationDifference> Dissipations(
        VariantMatching matching,
        VariantState first,
        VariantState second
    )
    {
        if (first.Heat is null || second.Heat is null)
        {
            return [];
        }
        return
        [
            .. matching
                .Units.Select(match =>
                    (
                        Match: match,
                        First: first.Heat.Of(matching.First[match.First]),
                        Second: second.Heat.Of(matching.Second[match.Second])
                    )
                )
                .Where(pair => pair.First is not null && pair.Second is not null)
                .Select(pair => new DissipationDifference(
                    pair.Match,
                    pair.First!.Value,
                    pair.Second!.Value
                ))
                .OrderByDescending(Importance),
        ];
    }

    // A milliwatt more or less warms nothing, whatever the ratio.
    private static double Importance(DissipationDifference difference) =>
        Math.Abs(Math.Log((difference.Second + 0.01) / (difference.First + 0.01)));

    private static string NodeName(VariantState state, int node) =>
        state.Amplifier.Circuit.Nodes[node].Name;

    private static bool Same(string first, string second) =>
        first.Equals(second, StringComparison.OrdinalIgnoreCase);
}
