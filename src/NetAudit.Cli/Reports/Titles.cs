using NetAudit.Circuits;

namespace NetAudit.Cli.Reports;

/// <summary>What an amplifier is called at the top of a report.</summary>
internal static class Titles
{
    public static string Of(Amplifier amplifier)
    {
        var title = amplifier.Sheet.Title ?? amplifier.Circuit.Title;
        return amplifier.Sheet.Revision is { } revision ? $"{title}, revision {revision}" : title;
    }
}
