using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Fuzz.Targets;

/// <summary>A calibration of the unit.</summary>
internal static class CalibrationTarget
{
    private const string File = "fuzz.toml";

    public static void Check(string text)
    {
        var read = CalibrationFile.Apply(Unit.Amplifier, text, File);
        Contract.Places(read.Diagnostics, File, text);
        Contract.Holds(
            (read.Amplifier is null) == read.Diagnostics.Any(d => d.Severity == Severity.Error),
            "an amplifier exactly when nothing is an error"
        );
    }
}
