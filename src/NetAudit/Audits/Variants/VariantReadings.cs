using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Audits.Variants;

/// <summary>Readings of one unit, carried over to each circuit that it may be.</summary>
/// <param name="Readings">For each circuit the readings with its own nodes, in one order; empty when the file cannot be used.</param>
/// <param name="NamedBy">Index of the circuit whose names the file uses, or -1.</param>
/// <param name="Diagnostics">What is wrong with the file, and readings that cannot be compared.</param>
public sealed record VariantReadings(
    ImmutableArray<ImmutableArray<Reading>> Readings,
    int NamedBy,
    ImmutableArray<Diagnostic> Diagnostics
)
{
    /// <summary>
    /// Reads a readings file by the names of the first circuit that has them all; for the others points are found by matching. A reading
    /// is left out where one of the circuits has no such point.
    /// </summary>
    /// <param name="text">The file.</param>
    /// <param name="fileName">Its name, for diagnostics.</param>
    /// <param name="variants">The circuits.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static VariantReadings Read(
        string text,
        string fileName,
        IReadOnlyList<Amplifier> variants,
        CancellationToken cancellationToken = default
    )
    {
        var read = variants
            .Select(variant => ReadingsFile.ReadText(text, fileName, variant))
            .ToArray();
        var namedBy = Array.FindIndex(read, result => !result.HasErrors);
        if (namedBy < 0)
        {
            return new([], -1, read[0].Diagnostics);
        }
        var readings = read[namedBy].Readings;
        var carried = variants
            .Select(
                (variant, index) =>
                    index == namedBy
                        ? [.. readings]
                        : Carry(
                            readings,
                            VariantMatching.Of(variants[namedBy], variant, cancellationToken),
                            variant
                        )
            )
            .ToArray();
        var everywhere = Enumerable
            .Range(0, readings.Length)
            .Where(i => carried.All(list => list[i] is not null))
            .ToArray();
        var left = Enumerable
            .Range(0, readings.Length)
            .Except(everywhere)
            .Select(i => new Diagnostic(
                Severity.Note,
                readings[i].Where,
                $"{readings[i].At} is left out: one of the circuits has no such point or condition"
            ));
        return new(
            [.. carried.Select(list => everywhere.Select(i => list[i]!).ToImmutableArray())],
            namedBy,
            [.. read[namedBy].Diagnostics, .. left]
        );
    }

    private static Reading?[] Carry(
        ImmutableArray<Reading> readings,
        VariantMatching matching,
        Amplifier variant
    )
    {
        var nodes = matching.Nodes.ToDictionary(match => match.First, match => match.Second);
        return [.. readings.Select(reading => Carry(reading, nodes, variant))];
    }

    private static Reading? Carry(Reading reading, Dictionary<int, int> nodes, Amplifier variant)
    {
        if (
            !reading.IsMeasured
            || !nodes.TryGetValue(reading.Node, out var node)
            || !nodes.TryGetValue(reading.RefNode, out var reference)
            || !reading.Condition.Terms.All(term => IsKnown(term, variant))
        )
        {
            return null;
        }
        return reading with
        {
            At = variant.Circuit.Nodes[node].Name,
            Node = node,
            Ref = reference == 0 ? null : variant.Circuit.Nodes[reference].Name,
            RefNode = reference,
        };
    }

    // Terms that name a tube or a node would have to be translated too; they are rare among readings that tell revisions apart.
    private static bool IsKnown(ConditionTerm term, Amplifier variant) =>
        term switch
        {
            PowerOff or MainsVoltage or SignalLevel => true,
            ControlSetting setting => variant.Sheet.Controls.Any(control =>
                control.Name == setting.Control
            ),
            SwitchSetting setting => variant.Sheet.Switches.Any(found =>
                found.Name == setting.Switch
                && found.Positions.Any(position => position.Name == setting.Position)
            ),
            _ => false,
        };
}
