using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>A reading as evidence.</summary>
/// <param name="Reading">What was written down.</param>
/// <param name="Row">What the meter or the ear was at.</param>
/// <param name="Place">What it showed, on the scale of its kind.</param>
/// <param name="OwnSigma">One sigma of its own error there.</param>
internal readonly record struct WeighedReading(
    Reading Reading,
    Row Row,
    double Place,
    double OwnSigma
);
