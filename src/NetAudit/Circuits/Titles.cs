namespace NetAudit.Circuits;

/// <summary>What an amplifier is called at the top of a report.</summary>
public static class Titles
{
    /// <summary>Its title and revision.</summary>
    public static string Of(Amplifier amplifier)
    {
        var title = amplifier.Sheet.Title ?? amplifier.Circuit.Title;
        return amplifier.Sheet.Revision is { } revision ? $"{title}, revision {revision}" : title;
    }
}
