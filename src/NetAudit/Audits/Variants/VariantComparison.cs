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
                        $"{state.Amplifier.Sheet.Title ?? state.Amplifier.Circuit.Title}: {state.Point.Problem?.Message} Voltages and stresses are not compared."
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
            Stresses =
                first.Stresses is { } mine && second.Stresses is { } its
                    ? IdleStresses.Compare(matching, mine, its)
                    : [],
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

    private static string NodeName(VariantState state, int node) =>
        state.Amplifier.Circuit.Nodes[node].Name;

    private static bool Same(string first, string second) =>
        first.Equals(second, StringComparison.OrdinalIgnoreCase);
}
