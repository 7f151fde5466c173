using System.Collections.Immutable;
using NetAudit.Expectations;

namespace NetAudit.Audits.Variants;

/// <summary>An end of a part that goes elsewhere in the second circuit.</summary>
/// <param name="From">Node in the first circuit.</param>
/// <param name="To">Node in the second circuit.</param>
public readonly record struct MovedEnd(int From, int To);

/// <summary>A part that is in both circuits and not the same.</summary>
/// <param name="Match">The part.</param>
/// <param name="ValueChanged">Whether the values differ.</param>
/// <param name="TypeChanged">Whether the types differ: another tube, another transistor.</param>
/// <param name="Moved">Ends that go elsewhere.</param>
public sealed record UnitChange(
    UnitMatch Match,
    bool ValueChanged,
    bool TypeChanged,
    ImmutableArray<MovedEnd> Moved
);

/// <summary>What a meter shows at one node of both circuits.</summary>
/// <param name="Match">The node.</param>
/// <param name="First">Expected reading of the first circuit, with limits.</param>
/// <param name="Second">Expected reading of the second circuit, with limits.</param>
public sealed record VoltageDifference(
    NodeMatch Match,
    ExpectedReading First,
    ExpectedReading Second
)
{
    /// <summary>
    /// (second - first) in standard deviations of the difference between two healthy units: what lies below 2 or 3 cannot tell the
    /// circuits apart.
    /// </summary>
    public double Deviation =>
        (Second.Mean - First.Mean)
        / Math.Sqrt(First.Sigma * First.Sigma + Second.Sigma * Second.Sigma);
}

/// <summary>How a circuit differs from another.</summary>
public sealed record VariantDifference
{
    /// <summary>What corresponds to what.</summary>
    public required VariantMatching Matching { get; init; }

    /// <summary>Units of the first circuit that the second has not, by index.</summary>
    public required ImmutableArray<int> Removed { get; init; }

    /// <summary>Units of the second circuit that the first has not, by index.</summary>
    public required ImmutableArray<int> Added { get; init; }

    /// <summary>Units that are in both and differ, in the order of the first.</summary>
    public required ImmutableArray<UnitChange> Changed { get; init; }

    /// <summary>Units that are called otherwise.</summary>
    public required ImmutableArray<UnitMatch> RenamedUnits { get; init; }

    /// <summary>Nodes that are called otherwise.</summary>
    public required ImmutableArray<NodeMatch> RenamedNodes { get; init; }

    /// <summary>Readings at nodes that are in both, the largest difference in standard deviations first; empty without operating points.</summary>
    public required ImmutableArray<VoltageDifference> Voltages { get; init; }

    /// <summary>
    /// Stresses at idle of parts that are in both, first those whose part of their limit differs most; empty without operating points.
    /// </summary>
    public required ImmutableArray<StressDifference> Stresses { get; init; }

    /// <summary>Stage gains at the frequency of the test signal, along the signal path; empty without a test signal.</summary>
    public required ImmutableArray<GainDifference> Gains { get; init; }

    /// <summary>Frequency response at the output; empty without a test signal.</summary>
    public required ImmutableArray<ResponseDifference> Response { get; init; }

    /// <summary>True when parts or connections differ; names do not count.</summary>
    public bool IsAnother => !Removed.IsEmpty || !Added.IsEmpty || !Changed.IsEmpty;
}
