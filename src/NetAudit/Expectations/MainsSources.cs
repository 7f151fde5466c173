using NetAudit.Circuits;

namespace NetAudit.Expectations;

/// <summary>Which sources follow the wall voltage.</summary>
internal static class MainsSources
{
    /// <summary>True for a source that the sheet names, and for every supply when it names none.</summary>
    public static bool Follows(Amplifier amplifier, Element source) =>
        amplifier.Sheet.Mains.Sources.IsEmpty
            ? amplifier.FindPart(source.Name)?.Class == PartClass.Supply
            : amplifier.Sheet.Mains.Sources.Contains(source.Name, StringComparer.OrdinalIgnoreCase);
}
