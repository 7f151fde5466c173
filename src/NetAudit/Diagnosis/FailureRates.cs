using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Diagnosis;

/// <summary>How likely faults are before anything is measured, relative to each other: <c>Data/failure-rates.csv</c>. Thread-safe.</summary>
public static class FailureRates
{
    private static readonly ImmutableDictionary<(PartClass Class, string Mode), double> Rates =
        EmbeddedTable
            .Read("failure-rates.csv")
            .ToImmutableDictionary(
                row => (Class(row["class"]), row["mode"]),
                row => double.Parse(row["rate"], CultureInfo.InvariantCulture)
            );

    /// <summary>
    /// Relative rate of one fault: of the part, or of one section of a tube, of one pin (<c>open-joint</c>, <c>resistive-joint</c>), or of
    /// one pair of neighbouring pins (<c>bridged</c>). The faults of a fixed resistor's value together are 1. 0 when a part of that class
    /// has no such fault.
    /// </summary>
    /// <param name="partClass">Class of the part.</param>
    /// <param name="mode">Name of the mode as in files and JSON: <c>open</c>, <c>grid-cathode-short</c>.</param>
    public static double Find(PartClass partClass, string mode) =>
        Rates.GetValueOrDefault((partClass, mode));

    private static PartClass Class(string name) =>
        Enum.Parse<PartClass>(name.Replace("-", "", StringComparison.Ordinal), ignoreCase: true);
}
