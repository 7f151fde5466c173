using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;

namespace NetAudit.Diagnosis.Search;

/// <summary>A set of fault classes that do not touch the same joint, value or pair of nodes. The empty set is the healthy unit.</summary>
internal sealed class FaultSet
{
    /// <summary>Nothing is wrong.</summary>
    public static FaultSet Healthy { get; } = new([]);

    /// <summary>
    /// Odds that a unit which nobody complains of has a fault that a DC reading can see, and that one with a fault has a further one
    /// (common practice, no source). They set how much evidence a first and a further fault must bring.
    /// </summary>
    private const double FirstFaultOdds = 0.08;
    private const double FurtherFaultOdds = 0.4;

    /// <summary>Edits of the circuit that the faults of a set may make: a workspace holds three more, for the links of a condition.</summary>
    private const int MostEdits = 5;

    private FaultSet(ImmutableArray<FaultClass> members)
    {
        Members = members;
        LogPrior = members.IsEmpty
            ? 0
            : Math.Log(FirstFaultOdds)
                + (members.Length - 1) * Math.Log(FurtherFaultOdds)
                + members.Sum(m => Math.Log(m.Share))
                + Testimony(members);
    }

    /// <summary>One member that explains what was heard or seen is enough; each that speaks against it counts.</summary>
    private static double Testimony(ImmutableArray<FaultClass> members)
    {
        var sum = 0.0;
        for (var piece = 0; piece < members[0].Testimony.Length; piece++)
        {
            var most = 0.0;
            foreach (var member in members)
            {
                sum += Math.Min(0, member.Testimony[piece]);
                most = Math.Max(most, member.Testimony[piece]);
            }
            sum += most;
        }
        return sum;
    }

    /// <summary>Odds that a unit with a fault has this one too, before any reading, and when another explains what was heard or seen.</summary>
    public static double OddsOfFurther(FaultClass fault) =>
        FurtherFaultOdds * fault.Share * Math.Exp(fault.Testimony.Sum(t => Math.Min(0, t)));

    /// <summary>The set of one fault.</summary>
    public static FaultSet Of(FaultClass fault) => new([fault]);

    /// <summary>The members, by ascending catalogue index.</summary>
    public ImmutableArray<FaultClass> Members { get; }

    /// <summary>Log odds of the set against the healthy unit, before any reading.</summary>
    public double LogPrior { get; }

    /// <summary>Distance between grid points of the free values, in nats: how far a grid point speaks for its surroundings.</summary>
    public double CellWidth =>
        Members
            .Where(m => m.Range.IsContinuous)
            .Select(m => m.Range.LogWidth / m.Range.Grid.Length)
            .DefaultIfEmpty(0)
            .Max();

    /// <summary>A value of each member in the middle of its range.</summary>
    public double[] Middle =>
        [.. Members.Select(member => member.Range.Grid[member.Range.Grid.Length / 2])];

    /// <summary>
    /// The set with one more member, or null when it would touch what a member touches already, or edit the circuit in too many places.
    /// </summary>
    public FaultSet? With(FaultClass extra)
    {
        if (Members.Sum(EditsOf) + EditsOf(extra) > MostEdits)
        {
            return null;
        }
        foreach (var member in Members)
        {
            foreach (var mine in member.Alterations)
            {
                foreach (var other in extra.Alterations)
                {
                    if (mine.Kind == other.Kind && mine.A == other.A && mine.B == other.B)
                    {
                        return null;
                    }
                }
            }
        }
        return new([.. Members.Append(extra).OrderBy(m => m.Index)]);
    }

    private static int EditsOf(FaultClass fault) =>
        fault.Alterations.Count(a => a.Kind != AlterationKind.Parameter);

    /// <summary>The set without one of its members.</summary>
    public FaultSet Without(FaultClass member) => new(Members.Remove(member));

    /// <summary>True when every member of <paramref name="other"/> is a member too.</summary>
    public bool Contains(FaultSet other) => other.Members.All(Members.Contains);

    /// <summary>A key that is equal for equal sets.</summary>
    public string Key => string.Join('+', Members.Select(m => m.Index));
}
