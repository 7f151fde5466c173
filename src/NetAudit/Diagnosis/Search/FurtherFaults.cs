using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;

namespace NetAudit.Diagnosis.Search;

/// <summary>A fault that may be there besides the leading suspect without showing in what was read.</summary>
/// <param name="Fault">The most probable of its part.</param>
/// <param name="Value">The value that the readings leave most room for.</param>
/// <param name="Probability">Probability of any such fault of the part, given the leading suspect.</param>
internal readonly record struct FurtherFault(FaultClass Fault, double Value, double Probability);

/// <summary>
/// What may be wrong besides the leading suspect and has not shown yet. A second fault is no suspect as long as no reading speaks for it;
/// the many that could be there count together: each by its prior odds, times the room that the readings leave for it beside the suspect.
/// </summary>
/// <param name="Probability">Probability of a further fault, given the leading suspect.</param>
/// <param name="PerPart">One a part, most probable first; their probabilities add up to it.</param>
internal sealed record FurtherFaults(double Probability, ImmutableArray<FurtherFault> PerPart)
{
    /// <summary>Nothing is known: there is no suspect, or what may be added to it was not looked at or not solved.</summary>
    public static FurtherFaults None { get; } = new(double.NaN, []);

    /// <summary>Works them out.</summary>
    /// <param name="leading">The leading suspect.</param>
    /// <param name="classes">The catalogue as complaint and observations weigh it.</param>
    /// <param name="extensions">What acts on the readings, added to the suspect and solved.</param>
    public static FurtherFaults Of(
        Evaluation leading,
        ImmutableArray<FaultClass> classes,
        IReadOnlyList<SolvedExtension> extensions
    )
    {
        if (extensions.Count == 0 || extensions.Any(e => double.IsNaN(e.Room.Score)))
        {
            return None;
        }
        var acting = extensions.ToDictionary(e => e.Extra.Index, e => e.Room);
        var found = new List<(FaultClass Fault, double Value, double Odds)>();
        foreach (var fault in classes)
        {
            if (
                leading.Set.Members.Any(m => m.Parts.Overlaps(fault.Parts))
                || leading.Set.With(fault) is null
            )
            {
                continue;
            }
            var middle = fault.Range.Grid[fault.Range.Grid.Length / 2];
            var (value, room) = acting.GetValueOrDefault(fault.Index, new(middle, 1));
            found.Add((fault, value, FaultSet.OddsOfFurther(fault) * room));
        }
        var odds = found.Sum(f => f.Odds);
        return new(
            odds / (1 + odds),
            [
                .. found
                    .GroupBy(f => f.Fault.Parts.Order(StringComparer.Ordinal).First())
                    .Select(part =>
                    {
                        var (fault, value, _) = part.MaxBy(f => f.Odds);
                        return new FurtherFault(fault, value, part.Sum(f => f.Odds) / (1 + odds));
                    })
                    .OrderByDescending(f => f.Probability),
            ]
        );
    }
}
