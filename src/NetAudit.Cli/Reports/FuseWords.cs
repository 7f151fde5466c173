using NetAudit.Audits.Stresses;
using NetAudit.Common;

namespace NetAudit.Cli.Reports;

/// <summary>When a fuse opens, in words.</summary>
internal static class FuseWords
{
    public static string Of(FuseOpening? opening) =>
        opening switch
        {
            null => "no curve of such a fuse is known",
            { Holds: true } => "holds",
            { Opens: false } => "may open, or hold for an hour",
            { Least: > 0 } between =>
                $"opens after {Seconds(between.Least)} to {Seconds(between.Most)}",
            { } within => $"opens within {Seconds(within.Most)}",
        };

    private static string Seconds(double seconds) =>
        seconds >= 60
            ? EngineeringNotation.Format(seconds / 60, "min", 2)
            : EngineeringNotation.Format(seconds, "s", 2);
}
