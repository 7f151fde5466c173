using System.Collections.Immutable;

namespace NetAudit.Audits.Stresses;

/// <summary>One thing that a part endures, and the limit that its maker or the sheet gives.</summary>
/// <param name="Part">The part, or the tube section by its instance where an envelope holds several.</param>
/// <param name="Kind">What it endures.</param>
/// <param name="Limit">The limit in SI units, or null when none is known: such a part is unrated, not safe.</param>
/// <param name="LimitSource">Where the limit comes from; empty without one.</param>
public sealed record StressItem(string Part, StressKind Kind, double? Limit, string LimitSource);

/// <summary>A stress with its values, one a condition of the report.</summary>
/// <param name="Item">What is stressed.</param>
/// <param name="Values">Values in SI units, in the order of <see cref="StressReport.Conditions"/>; NaN where it does not apply.</param>
public sealed record StressLine(StressItem Item, ImmutableArray<double> Values)
{
    /// <summary>The largest value.</summary>
    public double Worst => Values.Where(value => !double.IsNaN(value)).Max();

    /// <summary>Index of the condition with the largest value; the first of equals.</summary>
    public int WorstCondition => Values.IndexOf(Worst);

    /// <summary>The largest value as a fraction of the limit, or null when there is none.</summary>
    public double? Ratio => Item.Limit is { } limit ? Worst / limit : null;
}

/// <summary>What a bias trimmer does to the idle dissipation of an output tube.</summary>
/// <param name="Part">The tube.</param>
/// <param name="Limit">Its plate dissipation limit in watts.</param>
/// <param name="Idle">Plate dissipation in watts with the trimmer as the netlist has it.</param>
/// <param name="Control">The trimmer, or null when no control of the sheet moves the bias.</param>
/// <param name="Least">Least plate dissipation over the trimmer's range in watts; NaN without a trimmer or a solution.</param>
/// <param name="Most">Largest plate dissipation over the trimmer's range in watts; NaN likewise.</param>
public sealed record BiasRange(
    string Part,
    double Limit,
    double Idle,
    string? Control,
    double Least,
    double Most
);

/// <summary>What a fuse does in one event.</summary>
/// <param name="Fuse">Name of the fuse.</param>
/// <param name="Event">What happens: <c>idle</c>, <c>V5 shorted</c>.</param>
/// <param name="Amps">Amperes through it.</param>
/// <param name="Rated">Its rating in amperes, or null.</param>
/// <param name="Speed">Its speed letter, or null.</param>
/// <param name="Opening">When it opens; null when it has no rating.</param>
public sealed record FuseEvent(
    string Fuse,
    string Event,
    double Amps,
    double? Rated,
    string? Speed,
    FuseOpening? Opening
);

/// <summary>How hard the amplifier is driven for the stresses at clipping.</summary>
/// <param name="Source">Name of the source.</param>
/// <param name="Volts">Its RMS volts.</param>
/// <param name="Frequency">Hertz.</param>
/// <param name="Watts">Power in the load, or null without one.</param>
public sealed record StressDrive(string Source, double Volts, double Frequency, double? Watts);

/// <summary>What every part endures.</summary>
/// <param name="Conditions">
/// Names of the conditions that could be worked out: <c>idle</c>, <c>mains +10 %</c>, <c>clipping</c>, <c>switch-on</c>.
/// </param>
/// <param name="Drive">The drive at clipping, or null where there is none.</param>
/// <param name="Lines">Every stress that has a limit, worst first.</param>
/// <param name="Unrated">The others, in netlist order.</param>
/// <param name="Bias">Fixed-bias output tubes.</param>
/// <param name="Fuses">Fuses in normal operation and in shorts.</param>
/// <param name="Notes">What could not be found out.</param>
public sealed record StressReport(
    ImmutableArray<string> Conditions,
    StressDrive? Drive,
    ImmutableArray<StressLine> Lines,
    ImmutableArray<StressLine> Unrated,
    ImmutableArray<BiasRange> Bias,
    ImmutableArray<FuseEvent> Fuses,
    ImmutableArray<string> Notes
);
