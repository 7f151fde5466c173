using System.Collections.Immutable;
using NetAudit.Audits.Stresses;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Audits.Variants;

/// <summary>A stress of one circuit at idle.</summary>
/// <param name="Value">Value in SI units.</param>
/// <param name="Limit">Limit of the sheet or the data sheet, or null.</param>
public readonly record struct StressLevel(double Value, double? Limit)
{
    /// <summary>The value as a fraction of the limit, or null.</summary>
    public double? Ratio => Value / Limit;
}

/// <summary>What one part of both circuits endures at idle, nominal values.</summary>
/// <param name="Match">The part.</param>
/// <param name="Kind">What it endures.</param>
/// <param name="First">In the first circuit.</param>
/// <param name="Second">In the second circuit.</param>
public sealed record StressDifference(
    UnitMatch Match,
    StressKind Kind,
    StressLevel First,
    StressLevel Second
)
{
    // A milliwatt more or less warms nothing, whatever the ratio: this part of a value without a limit does not count.
    private const double Unnoticed = 0.01;

    /// <summary>
    /// How much it matters: by how much of the limit the two differ, a limit passed in one only counting most; below any of these, what
    /// has no limit, by the ratio of the values.
    /// </summary>
    internal (int Class, double Size) Importance =>
        First.Ratio is { } first && Second.Ratio is { } second
            ? ((first > 1) != (second > 1) ? 2 : 1, Math.Abs(second - first))
            : (0, Math.Abs(Math.Log((Second.Value + Unnoticed) / (First.Value + Unnoticed))));
}

/// <summary>Every stress of a circuit at idle, by part.</summary>
internal sealed class IdleStresses
{
    private readonly ILookup<string, (StressItem Item, double Value)> _byPart;

    private IdleStresses(IEnumerable<(StressItem Item, double Value)> all) =>
        _byPart = all.ToLookup(stress => stress.Item.Part, StringComparer.OrdinalIgnoreCase);

    /// <summary>The stresses, or null when there is no operating point.</summary>
    public static IdleStresses? Of(Amplifier amplifier, CancellationToken cancellationToken)
    {
        var workspace = new Workspace(CompiledCircuit.Compile(amplifier.Circuit));
        if (!workspace.Solve([], cancellationToken).Converged)
        {
            return null;
        }
        var plan = StressPlan.Of(amplifier).In(StressCondition.Idle);
        var values = new double[plan.Points.Length];
        plan.Read(workspace, values);
        return new([
            .. plan.Points.Zip(values, (point, value) => (point.Item, value)),
            .. GridLeaks.Find(amplifier, workspace),
        ]);
    }

    /// <summary>What parts of both endure, what matters most first.</summary>
    public static ImmutableArray<StressDifference> Compare(
        VariantMatching matching,
        IdleStresses first,
        IdleStresses second
    ) =>
        [
            .. matching
                .Units.SelectMany(match =>
                    from mine in first.At(matching.First[match.First])
                    join its in second.At(matching.Second[match.Second])
                        on mine.Item.Kind equals its.Item.Kind
                    select (
                        mine.Item,
                        Difference: new StressDifference(
                            match,
                            mine.Item.Kind,
                            new(mine.Value, mine.Item.Limit),
                            new(its.Value, its.Item.Limit)
                        )
                    )
                )
                // A potentiometer's halves are two units and one part.
                .DistinctBy(pair => (pair.Item.Part, pair.Item.Kind))
                .Select(pair => pair.Difference)
                .OrderByDescending(difference => difference.Importance),
        ];

    // A stress goes by the element or section where a part has several, else by the part.
    private IEnumerable<(StressItem Item, double Value)> At(VariantUnit unit) =>
        _byPart.Contains(unit.Name) ? _byPart[unit.Name] : _byPart[unit.Part];
}
