using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Fuzz.Targets;

/// <summary>A service sheet of the unit.</summary>
internal static class SheetTarget
{
    private const string File = "fuzz.sheet.toml";

    public static void Check(string text)
    {
        var read = AmplifierReader.ReadText(Unit.Netlist, text, File);
        Contract.Places(read.Diagnostics, File, text);
        Contract.Holds(
            (read.Amplifier is null) == read.Diagnostics.Any(d => d.Severity == Severity.Error),
            "an amplifier exactly when nothing is an error"
        );
    }
}
