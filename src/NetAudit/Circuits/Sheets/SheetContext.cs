using NetAudit.Common;

namespace NetAudit.Circuits.Sheets;

/// <summary>What the readers of a sheet's tables share.</summary>
/// <param name="Diagnostics">Where they report.</param>
/// <param name="Names">Names to be checked against the circuit.</param>
/// <param name="Sound">False when the text was not TOML throughout: then a missing key is no news.</param>
internal sealed record SheetContext(
    DiagnosticList Diagnostics,
    List<NameReference> Names,
    bool Sound
);
