using NetAudit.Circuits;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>Relative rates of faults by mode.</summary>
internal static class Rate
{
    /// <summary>Relative rate: per part, per tube section, per pin for joints, per pair for bridges.</summary>
    public static double Of(PartClass partClass, FaultMode mode) =>
        FailureRates.Find(partClass, mode.Name());
}
