using System.Collections.Immutable;
using NetAudit.Audits.Stresses;

namespace NetAudit.Audits.Variants;

/// <summary>One line of a table of variants: the same thing in every one of them.</summary>
/// <param name="Name">Name in the first variant, or in the first that has it.</param>
/// <param name="Units">The unit in each variant, by index in its matching; -1 where there is none.</param>
public sealed record VariantLine(string Name, ImmutableArray<int> Units);

/// <summary>What one part endures in every variant.</summary>
/// <param name="Unit">The part in the first variant.</param>
/// <param name="Kind">What it endures.</param>
/// <param name="Levels">How much in each variant; null where it has no such part.</param>
public sealed record StressRow(
    VariantUnit Unit,
    StressKind Kind,
    ImmutableArray<StressLevel?> Levels
)
{
    // A twentieth of the limit more or less, or a tenth of what has no limit, is worth a line.
    private const double LeastOfLimit = 0.05;
    private const double LeastRatio = 1.1;

    // Watts, volts and amperes below these bear on nothing.
    private const double LeastWatts = 0.02;
    private const double LeastVolts = 5;
    private const double LeastAmps = 1e-3;

    /// <summary>Whether the difference is worth a line.</summary>
    public bool IsTelling
    {
        get
        {
            var levels = Levels.OfType<StressLevel>().ToArray();
            var ratios = levels.Select(level => level.Ratio).OfType<double>().ToArray();
            if (ratios.Length > 0)
            {
                return ratios.Max() - ratios.Min() > LeastOfLimit;
            }
            var most = levels.Max(level => level.Value);
            var least = Kind.Unit() switch
            {
                "W" => LeastWatts,
                "A" => LeastAmps,
                _ => LeastVolts,
            };
            return most > least && most > LeastRatio * levels.Min(level => level.Value);
        }
    }
}

/// <summary>Differences of several variants side by side.</summary>
public static class ComparisonTable
{
    /// <summary>
    /// Every unit that differs in any variant: what is missing, added or of another type first, then the values that differ by the largest
    /// ratio.
    /// </summary>
    public static ImmutableArray<VariantLine> Parts(VariantComparison comparison)
    {
        var differences = comparison.Differences;
        var counterparts = differences
            .Select(d => d.Matching.Units.ToDictionary(m => m.First, m => m.Second))
            .ToArray();
        var differing = differences
            .SelectMany(d => d.Removed.Concat(d.Changed.Select(change => change.Match.First)))
            .Distinct()
            .Order();
        var lines = differing.Select(unit => new VariantLine(
            differences[0].Matching.First[unit].Name,
            [unit, .. counterparts.Select(counterpart => counterpart.GetValueOrDefault(unit, -1))]
        ));
        var added = differences.SelectMany(
            (difference, index) =>
                difference.Added.Select(unit => new VariantLine(
                    difference.Matching.Second[unit].Name,
                    [
                        -1,
                        .. Enumerable
                            .Range(0, differences.Length)
                            .Select(other => other == index ? unit : -1),
                    ]
                ))
        );
        return [.. lines.Concat(added).OrderByDescending(line => Importance(comparison, line))];
    }

    /// <summary>Every stress of parts that the first variant has, what differs most in any of the others first.</summary>
    public static ImmutableArray<StressRow> Stresses(VariantComparison comparison)
    {
        var byUnit = comparison
            .Differences.Select(d => d.Stresses.ToDictionary(s => (s.Match.First, s.Kind)))
            .ToArray();
        return
        [
            .. comparison
                .Differences.SelectMany(d => d.Stresses)
                .OrderByDescending(stress => stress.Importance)
                .DistinctBy(stress => (stress.Match.First, stress.Kind))
                .Select(stress => new StressRow(
                    comparison.Differences[0].Matching.First[stress.Match.First],
                    stress.Kind,
                    [
                        stress.First,
                        .. byUnit.Select(known =>
                            known.TryGetValue((stress.Match.First, stress.Kind), out var other)
                                ? other.Second
                                : (StressLevel?)null
                        ),
                    ]
                )),
        ];
    }

    private static double Importance(VariantComparison comparison, VariantLine line)
    {
        var units = Enumerable
            .Range(0, line.Units.Length)
            .Select(variant => UnitOf(comparison, line, variant))
            .ToArray();
        if (units.Any(unit => unit?.Value is null or 0))
        {
            return double.PositiveInfinity;
        }
        var sizes = units.Select(unit => Math.Abs(unit!.Value!.Value)).ToArray();
        return Math.Log(sizes.Max() / sizes.Min());
    }

    /// <summary>The unit of a line in one of the variants, or null.</summary>
    public static VariantUnit? UnitOf(VariantComparison comparison, VariantLine line, int variant)
    {
        var unit = line.Units[variant];
        if (unit < 0)
        {
            return null;
        }
        return variant == 0
            ? comparison.Differences[0].Matching.First[unit]
            : comparison.Differences[variant - 1].Matching.Second[unit];
    }
}
