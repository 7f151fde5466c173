using System.Globalization;
using NetAudit.Audits.Variants;
using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Reports;

/// <summary>What variants do to a signal: stage gains, and the response at the output.</summary>
internal static class ComparedGains
{
    public static void Write(Screen screen, VariantComparison comparison)
    {
        var letters = Enumerable
            .Range(0, comparison.Variants.Length)
            .Select(variant => (VariantNames.Letter(variant), Side.Right))
            .ToArray();
        WriteStages(screen, comparison, letters);
        WriteResponse(screen, comparison, letters);
    }

    private static void WriteStages(
        Screen screen,
        VariantComparison comparison,
        (string, Side)[] letters
    )
    {
        var differences = comparison.Differences;
        var stages = differences.SelectMany(d => d.Gains).Select(gain => gain.Stage).Distinct();
        var table = new TextTable([("stage", Side.Left), .. letters, ("B to A", Side.Right)]);
        var any = false;
        foreach (var stage in stages)
        {
            any = true;
            var gains = differences
                .Select(d => d.Gains.FirstOrDefault(gain => gain.Stage == stage))
                .ToArray();
            table.Add([
                stage,
                Times(gains.First(gain => gain is not null)!.First),
                .. gains.Select(gain => gain is null ? "-" : Times(gain.Second)),
                Decibels(gains[0]?.Decibels),
            ]);
        }
        if (any)
        {
            screen.Heading("Stage gain, small signal, controls as in the netlists");
            table.Write(screen, "  ");
        }
    }

    private static void WriteResponse(
        Screen screen,
        VariantComparison comparison,
        (string, Side)[] letters
    )
    {
        var differences = comparison.Differences;
        var frequencies = differences.SelectMany(d => d.Response).Select(r => r.Frequency);
        var table = new TextTable([("frequency", Side.Left), .. letters, ("B to A", Side.Right)]);
        var any = false;
        foreach (var frequency in frequencies.Distinct().Order())
        {
            any = true;
            var levels = differences
                .Select(d => d.Response.FirstOrDefault(r => r.Frequency == frequency))
                .ToArray();
            table.Add([
                EngineeringNotation.Format(frequency, "Hz"),
                Level(levels.First(level => level is not null)!.First),
                .. levels.Select(level => level is null ? "-" : Level(level.Second)),
                Decibels(levels[0]?.Decibels),
            ]);
        }
        if (any)
        {
            screen.Heading("Response, test signal to output");
            table.Write(screen, "  ");
        }
    }

    private static string Times(double gain) =>
        gain.ToString(gain >= 9.995 ? "0.0" : "0.00", CultureInfo.InvariantCulture);

    private static string Level(double gain) =>
        (20 * Math.Log10(gain)).ToString("0.0", CultureInfo.InvariantCulture) + " dB";

    private static string Decibels(double? decibels) =>
        decibels is { } known && double.IsFinite(known)
            ? known.ToString("+0.0;-0.0;0.0", CultureInfo.InvariantCulture) + " dB"
            : "";
}
