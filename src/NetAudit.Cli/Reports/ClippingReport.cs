using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations;
using NetAudit.Expectations.LargeSignal;

namespace NetAudit.Cli.Reports;

/// <summary>Marks and explains the levels that no meter shows because a healthy unit clips.</summary>
internal static class ClippingReport
{
    private const int MostNamed = 3;

    /// <summary>What stands behind a level.</summary>
    public static string Mark(DrivenLevels? driven, int node) =>
        driven is not { IsClipping: true } ? ""
        : driven.Differs(node) ? " !"
        : "  ";

    /// <summary>Explains the marks; says so when nobody knows whether the unit clips.</summary>
    /// <param name="screen">Where to.</param>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="driven">The unit driven by the test signal; null when it could not be followed.</param>
    public static void Write(Screen screen, Amplifier amplifier, DrivenLevels? driven)
    {
        if (driven is null)
        {
            screen.Heading("Too much signal?");
            screen.Paragraph(
                "Whether a healthy unit clips at this signal could not be found out: the driven circuit could not be followed.",
                "  "
            );
            return;
        }
        if (!driven.IsClipping)
        {
            return;
        }
        var clipping = amplifier
            .Points.DistinctBy(point => point.Node)
            .Where(point => driven.Differs(point.Node))
            .OrderByDescending(point => driven.SmallAt(point.Node))
            .ToArray();
        var examples = clipping
            .Take(MostNamed)
            .Select(point =>
                $"{point.ShortName(amplifier)} {EngineeringNotation.Format(driven.DrivenAt(point.Node), "V", 3)}, not {EngineeringNotation.Format(driven.SmallAt(point.Node), "V", 3)}"
            );
        var what = driven.IsSettled ? "clips" : "finds no steady state";
        screen.Heading("Too much signal");
        screen.Paragraph(
            $"At {EngineeringNotation.Format(driven.Volts, "V")} a healthy unit {what}, and levels marked ! are not what a meter shows: {string.Join("; ", examples)}. Readings there are not weighed. For levels that can be judged, {driven.Advice()}: write it into [signal] of the sheet, or signal=... into the condition.",
            "  ! "
        );
    }
}
