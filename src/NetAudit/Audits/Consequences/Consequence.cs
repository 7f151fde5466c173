using System.Collections.Immutable;
using NetAudit.Audits.Stresses;
using NetAudit.Diagnosis;

namespace NetAudit.Audits.Consequences;

/// <summary>A stress that a fault puts past its limit.</summary>
/// <param name="Item">What is overstressed.</param>
/// <param name="Value">The value with the fault, SI units.</param>
/// <param name="Healthy">The value without it.</param>
/// <param name="Seconds">
/// How long the part lives on at that, seconds: infinite when it is spoiled slowly or not at all, NaN for what heat does not decide (volts,
/// a cathode's current).
/// </param>
/// <param name="Outlived">True when a fuse is sure to open before that.</param>
public sealed record Overload(
    StressItem Item,
    double Value,
    double Healthy,
    double Seconds,
    bool Outlived
)
{
    /// <summary>The value as a fraction of the limit; above 1.</summary>
    public double Ratio => Value / Item.Limit!.Value;
}

/// <summary>How bad a voltage is where a hand may be.</summary>
public enum TouchLevel
{
    /// <summary>Beyond what is safe to touch, IEC 62368-1 class ES1.</summary>
    Unsafe,

    /// <summary>Beyond what does no lasting harm, class ES2.</summary>
    Dangerous,
}

/// <summary>A voltage that a fault puts where a hand may be.</summary>
/// <param name="Place">The jack, terminal or control.</param>
/// <param name="Volts">Volts DC against chassis, untouched.</param>
/// <param name="Amps">Amperes DC through a body of 2 kΩ to chassis.</param>
/// <param name="Level">How bad that is.</param>
/// <param name="IsInsulated">True for a control, whose insulation is between it and the hand.</param>
public sealed record TouchHazard(
    string Place,
    double Volts,
    double Amps,
    TouchLevel Level,
    bool IsInsulated
);

/// <summary>What one fault does to the rest.</summary>
/// <param name="Faults">The fault, with the value at which it does most harm; several when a set was asked for.</param>
/// <param name="Share">Share of all single faults, 0 to 1; faults with the same effect together.</param>
/// <param name="Alike">Names of further faults with the same effect.</param>
/// <param name="Settled">False when the circuit with the fault has no operating point: then nothing is known of it.</param>
/// <param name="Overloads">Parts that it overstresses, worst first.</param>
/// <param name="Fuses">Fuses that it overloads.</param>
/// <param name="Hazards">Voltages that it puts where a hand may be.</param>
public sealed record Consequence(
    ImmutableArray<Fault> Faults,
    double Share,
    ImmutableArray<Fault> Alike,
    bool Settled,
    ImmutableArray<Overload> Overloads,
    ImmutableArray<FuseEvent> Fuses,
    ImmutableArray<TouchHazard> Hazards
)
{
    /// <summary>Whether it harms anything but itself.</summary>
    public bool IsHarmful => Overloads.Length > 0 || Fuses.Length > 0 || Hazards.Length > 0;

    /// <summary>The overload that matters most: of the part that goes first, else the worst; null when there is none.</summary>
    public Overload? First =>
        Overloads
            .OrderBy(overload =>
                overload.Outlived || double.IsNaN(overload.Seconds)
                    ? double.PositiveInfinity
                    : overload.Seconds
            )
            .FirstOrDefault();

    /// <summary>Shortest life of a part that no fuse saves, seconds; infinite when there is none.</summary>
    public double ShortestLife =>
        Overloads
            .Where(overload => !overload.Outlived && !double.IsNaN(overload.Seconds))
            .Select(overload => overload.Seconds)
            .DefaultIfEmpty(double.PositiveInfinity)
            .Min();
}
