using System.Collections.Immutable;
using NetAudit.Audits.Variants.Matching;
using NetAudit.Circuits;

namespace NetAudit.Audits.Variants;

/// <summary>
/// Something of one circuit that can be held against something of another: an element that is a part or a piece of one (a winding, half of
/// a potentiometer), or a device (a tube section).
/// </summary>
/// <param name="Name">Name in the netlist, <c>R3</c>, <c>XV1A</c>, <c>LT1P</c>.</param>
/// <param name="Part">The part it belongs to, <c>R3</c>, <c>V1</c>, <c>T1</c>.</param>
/// <param name="Class">Class of that part.</param>
/// <param name="Value">Value in <paramref name="Unit"/>, or null.</param>
/// <param name="Unit"><c>Ω</c>, <c>F</c>, <c>H</c>, <c>V</c>, <c>A</c>, or empty for a gain.</param>
/// <param name="Type">Tube type, model or subcircuit; null where there is none.</param>
/// <param name="Nodes">Node indices it connects, in netlist order.</param>
public sealed record VariantUnit(
    string Name,
    string Part,
    PartClass Class,
    double? Value,
    string Unit,
    string? Type,
    ImmutableArray<int> Nodes
)
{
    /// <summary>What the type does: equal for types that differ in name only.</summary>
    internal string TypeKey { get; init; } = "";

    /// <summary>Its ends with their roles.</summary>
    internal ImmutableArray<UnitEnd> Ends { get; init; } = [];
}

/// <summary>A unit of the first circuit and the same one in the second.</summary>
/// <param name="First">Index in <see cref="VariantMatching.First"/>.</param>
/// <param name="Second">Index in <see cref="VariantMatching.Second"/>.</param>
/// <param name="Confidence">Probability that they are the same, 0 to 1.</param>
public readonly record struct UnitMatch(int First, int Second, double Confidence);

/// <summary>A node of the first circuit and the same one in the second.</summary>
/// <param name="First">Node index in the first circuit.</param>
/// <param name="Second">Node index in the second circuit.</param>
/// <param name="Confidence">Probability that they are the same, 0 to 1.</param>
public readonly record struct NodeMatch(int First, int Second, double Confidence);

/// <summary>Which parts and nodes of two circuits are the same, whatever they are called. Immutable.</summary>
public sealed class VariantMatching
{
    private VariantMatching(
        ImmutableArray<VariantUnit> first,
        ImmutableArray<VariantUnit> second,
        ImmutableArray<UnitMatch> units,
        ImmutableArray<NodeMatch> nodes
    ) => (First, Second, Units, Nodes) = (first, second, units, nodes);

    /// <summary>Units of the first circuit.</summary>
    public ImmutableArray<VariantUnit> First { get; }

    /// <summary>Units of the second circuit.</summary>
    public ImmutableArray<VariantUnit> Second { get; }

    /// <summary>Matched units, by first; each unit at most once.</summary>
    public ImmutableArray<UnitMatch> Units { get; }

    /// <summary>Matched nodes, chassis first; each node at most once.</summary>
    public ImmutableArray<NodeMatch> Nodes { get; }

    /// <summary>Matches two circuits.</summary>
    /// <remarks>
    /// From anchors (chassis, and surroundings that exist once in each) the match spreads along connections; names count as far as they
    /// prove reliable where structure is sure; what remains is settled by best assignment. Deterministic.
    /// </remarks>
    /// <param name="first">A circuit.</param>
    /// <param name="second">Another.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static VariantMatching Of(
        Amplifier first,
        Amplifier second,
        CancellationToken cancellationToken = default
    )
    {
        var (a, b) = (GraphBuilder.Build(first), GraphBuilder.Build(second));
        var matches = GraphMatcher.Match(a, b, cancellationToken);
        return new(
            Describe(a),
            Describe(b),
            [
                .. matches
                    .Where(match => a.IsUnit(match.First))
                    .Select(match => new UnitMatch(match.First, match.Second, match.Confidence)),
            ],
            [
                .. matches
                    .Where(match => !a.IsUnit(match.First))
                    .Select(match => new NodeMatch(
                        match.First - a.Units.Length,
                        match.Second - b.Units.Length,
                        match.Confidence
                    )),
            ]
        );
    }

    private static ImmutableArray<VariantUnit> Describe(CircuitGraph graph) =>
        [
            .. graph.Units.Select(unit => new VariantUnit(
                unit.Name,
                unit.Part,
                unit.Class,
                double.IsNaN(unit.Value) ? null : unit.Value,
                UnitOf(unit.Kind),
                unit.Type.Length == 0 ? null : unit.Type,
                [.. unit.Ends.Select(end => end.Node)]
            )
            {
                TypeKey = unit.TypeKey,
                Ends = unit.Ends,
            }),
        ];

    private static string UnitOf(string kind) =>
        kind switch
        {
            "R" => "Ω",
            "C" => "F",
            "L" => "H",
            "V" => "V",
            "I" => "A",
            _ when kind.StartsWith("device", StringComparison.Ordinal) => "Ω",
            _ => "",
        };
}
