using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Diagnosis;

namespace NetAudit.Audits.Calibrations;

/// <summary>How a spread moved.</summary>
/// <param name="Name">Name of the spread, <c>R3</c>, <c>XV1A emission</c>.</param>
/// <param name="Moved">In standard deviations of healthy units.</param>
/// <param name="Factor">Most probable value over nominal; 1 for an offset.</param>
/// <param name="Offset">Most probable value less nominal, in its unit; 0 for a factor.</param>
/// <param name="Left">Standard deviation that the readings leave of it, as a fraction of that before.</param>
/// <param name="IsCarried">False for what belongs to the day and not to the unit: the wall voltage.</param>
public sealed record MovedTerm(
    string Name,
    double Moved,
    double Factor,
    double Offset,
    double Left,
    bool IsCarried
);

/// <summary>A reading before and after.</summary>
/// <param name="At">Where.</param>
/// <param name="Measured">Read or published, volts or ohms.</param>
/// <param name="Before">Expected at the netlist's nominal point.</param>
/// <param name="After">Expected at the calibrated point.</param>
/// <param name="GivenOthers">Deviation from what all others say, in standard deviations.</param>
public sealed record FittedReading(
    string At,
    double Measured,
    double Before,
    double After,
    double GivenOthers
);

/// <summary>What fitting an amplifier to readings gave.</summary>
/// <param name="Terms">Every spread, the one that moved furthest first.</param>
/// <param name="Readings">The readings.</param>
/// <param name="Consistency">Probability that a healthy unit reads at least as far off, 0 to 1.</param>
/// <param name="Suspect">What is likely wrong with the unit, or null.</param>
/// <param name="Calibration">The calibration.</param>
/// <param name="Notes">What was left out, in words.</param>
public sealed record CalibrationResult(
    ImmutableArray<MovedTerm> Terms,
    ImmutableArray<FittedReading> Readings,
    double Consistency,
    Suspect? Suspect,
    Calibration Calibration,
    ImmutableArray<string> Notes
)
{
    /// <summary>A spread that moved further is rather a fault, in standard deviations.</summary>
    public const double MostMoved = 3;

    /// <summary>Readings less plausible than this are not those of a healthy unit.</summary>
    public const double LeastConsistency = 1e-3;

    /// <summary>Terms that moved too far for a healthy unit.</summary>
    public IEnumerable<MovedTerm> Suspicious =>
        Terms.Where(term => Math.Abs(term.Moved) > MostMoved);

    /// <summary>False when the unit is hardly a healthy one: then the calibration must not be used.</summary>
    public bool IsSound => Suspect is null && Consistency >= LeastConsistency && !Suspicious.Any();
}
