using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Observations;

/// <summary>
/// Words for what comes from the loudspeaker, as coarse readings of its level. The scale is that of the healthy unit in the same
/// condition, so that a comparison of two conditions weighs what the model says of both (common practice, no source).
/// </summary>
internal static class HeardLevels
{
    /// <summary>Nothing is heard of a level this far below the healthy one, as a factor: 40 dB.</summary>
    private const double Inaudible = 0.01;

    /// <summary>A weak sound is about this far below the healthy one, as a factor: 14 dB.</summary>
    private const double WeakFactor = 0.2;

    private static readonly string[] Words = ["none", "weak", "normal"];

    /// <summary>A word for a level, or null for one that speaks of something else.</summary>
    /// <param name="word">The word.</param>
    /// <param name="healthy">Level of the healthy unit, volts RMS, above 0.</param>
    /// <returns>The level below which nothing is heard in volts, the place of the word on that scale, and its sigma.</returns>
    public static (double Floor, double Place, double Sigma)? Of(string word, double healthy)
    {
        var floor = Inaudible * healthy;
        return word switch
        {
            "none" => (floor, 0, 1.2),
            "weak" => (floor, Math.Asinh(WeakFactor / Inaudible), 0.8),
            "normal" => (floor, Math.Asinh(1 / Inaudible), 0.5),
            _ => null,
        };
    }

    /// <summary>The word whose place on the scale is nearest to a level.</summary>
    /// <param name="level">Volts RMS.</param>
    /// <param name="floor">Level below which nothing is heard, volts RMS.</param>
    public static string WordOf(double level, double floor)
    {
        var place = Math.Asinh(level / floor);
        return Words.MinBy(word => Math.Abs(Of(word, floor / Inaudible)!.Value.Place - place))!;
    }

    /// <summary>The complaint that a word for the character of the sound, or a blown fuse, amounts to; or null.</summary>
    public static string? ComplaintOf(Reading reading) =>
        (reading.Kind, reading.Word) switch
        {
            (ReadingKind.Listen, "noisy") => "crackles",
            (ReadingKind.Listen, "hums") => "hums",
            (ReadingKind.Listen, "distorted") => "distorts",
            (ReadingKind.Look, "blown") => "blows fuse",
            _ => null,
        };
}
