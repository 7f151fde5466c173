using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Observations;

/// <summary>
/// What was seen, heard and complained of, as weights on the faults of the catalogue: for each piece the likelihood under a fault
/// relative to a fault that has nothing to do with it.
/// </summary>
internal static class Testimony
{
    /// <summary>The catalogue with its faults weighted.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="classes">The catalogue.</param>
    /// <param name="complaint">One of <see cref="Complaints.All"/>, or null.</param>
    /// <param name="observations">Observations at parts.</param>
    public static ImmutableArray<FaultClass> Weigh(
        Amplifier amplifier,
        ImmutableArray<FaultClass> classes,
        string? complaint,
        IReadOnlyList<Reading> observations
    )
    {
        if (complaint is null && observations.Count == 0)
        {
            return classes;
        }
        var parts = new Dictionary<string, Part?>();
        Part? PartOf(string name)
        {
            if (!parts.TryGetValue(name, out var part))
            {
                parts.Add(name, part = amplifier.FindPart(name));
            }
            return part;
        }
        var pieces = new List<Func<Fault, double>>();
        var complaints = observations.Select(HeardLevels.ComplaintOf).Prepend(complaint);
        foreach (var word in complaints.OfType<string>().Distinct())
        {
            pieces.Add(fault =>
                PartOf(fault.Part) is { } part
                    ? LikelihoodTable.ComplaintRatio(word, part.Class, fault.Mode)
                    : 1
            );
        }
        foreach (var observation in observations.Where(o => HeardLevels.ComplaintOf(o) is null))
        {
            var kind = observation.Kind.Name();
            pieces.Add(fault =>
                RelationOf(PartOf(fault.Part), fault, observation) is var about
                && about == Relation.Elsewhere
                    ? 1
                    : LikelihoodTable.ObservationRatio(kind, observation.Word!, about)
            );
        }
        return [.. classes.Select(c => Weigh(c, pieces))];
    }

    /// <summary>Log odds that the complaint brings against the healthy unit; 0 without one.</summary>
    public static double HealthyLogOdds(string? complaint) =>
        complaint is null ? 0 : Math.Log(LikelihoodTable.HealthyComplaintRatio(complaint));

    private static FaultClass Weigh(FaultClass fault, List<Func<Fault, double>> pieces)
    {
        var factors = fault
            .Identities.Select(i => pieces.Select(piece => piece(i.Fault)).ToArray())
            .ToArray();
        var evidence = new double[pieces.Count];
        for (var piece = 0; piece < evidence.Length; piece++)
        {
            var mean = fault
                .Identities.Select((identity, i) => identity.Share * factors[i][piece])
                .Sum();
            evidence[piece] = Math.Log(mean / fault.Share);
        }
        // The identities are told apart by what speaks for each; their sum stays.
        var weighted = fault
            .Identities.Select(
                (identity, i) =>
                    identity with
                    {
                        Share = identity.Share * factors[i].Aggregate(1.0, (a, b) => a * b),
                    }
            )
            .ToArray();
        var scale = fault.Share / weighted.Sum(i => i.Share);
        return fault with
        {
            Identities =
            [
                .. weighted
                    .Select(i => i with { Share = i.Share * scale })
                    .OrderByDescending(i => i.Share),
            ],
            Testimony = [.. evidence],
        };
    }

    private static Relation RelationOf(Part? part, Fault fault, Reading observation)
    {
        if (part is null || !part.Name.Equals(observation.Part, StringComparison.OrdinalIgnoreCase))
        {
            return Relation.Elsewhere;
        }
        var isContact =
            part.Class is PartClass.Contact or PartClass.Potentiometer
            || fault.Mode is FaultMode.OpenJoint or FaultMode.ResistiveJoint or FaultMode.Bridged;
        return isContact ? Relation.Joint : Relation.Part;
    }
}
