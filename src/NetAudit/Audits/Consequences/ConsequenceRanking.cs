using System.Collections.Immutable;

namespace NetAudit.Audits.Consequences;

/// <summary>Orders consequences by the harm, and takes those of one part together that cannot be told apart by it.</summary>
internal static class ConsequenceRanking
{
    // Harms that agree to this many digits are the same: an open resistor, and a joint of some hundred megohms.
    private const int Digits = 2;

    public static ImmutableArray<Consequence> Of(IEnumerable<Consequence> found) =>
        [
            .. found
                .GroupBy(Signature)
                .Select(Merged)
                .OrderByDescending(one => Touch(one, isInsulated: false))
                .ThenBy(one => one.ShortestLife)
                .ThenByDescending(one => Touch(one, isInsulated: true))
                .ThenByDescending(one => one.Overloads.Sum(overload => Math.Log(overload.Ratio)))
                .ThenByDescending(one => one.Fuses.Length),
        ];

    private static int Touch(Consequence one, bool isInsulated) =>
        one
            .Hazards.Where(hazard => hazard.IsInsulated == isInsulated)
            .Select(hazard => (int)hazard.Level + 1)
            .DefaultIfEmpty(0)
            .Max();

    private static string Signature(Consequence one) =>
        $"{one.Faults[0].Part}|{one.Settled}|"
        + string.Join(
            ';',
            one.Overloads.Select(o => $"{o.Item.Part} {o.Item.Kind} {Rounded(o.Ratio)}")
        )
        + "|"
        + string.Join(';', one.Hazards.Select(h => $"{h.Place} {Rounded(h.Volts)}"))
        + "|"
        + string.Join(';', one.Fuses.Select(f => $"{f.Fuse} {Rounded(f.Amps)}"));

    private static double Rounded(double value) =>
        Common.EngineeringNotation.RoundSignificant(value, Digits);

    private static Consequence Merged(IEnumerable<Consequence> alike)
    {
        var all = alike.ToArray();
        var first = all.MaxBy(one => one.Share)!;
        return first with
        {
            Share = all.Sum(one => one.Share),
            Alike =
            [
                .. first.Alike,
                .. all.Where(one => !ReferenceEquals(one, first))
                    .SelectMany(one => one.Faults.AddRange(one.Alike)),
            ],
        };
    }
}
