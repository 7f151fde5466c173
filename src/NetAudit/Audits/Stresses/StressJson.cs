using System.Text.Json;
using NetAudit.Common;

namespace NetAudit.Audits.Stresses;

/// <summary>Stresses as JSON.</summary>
public static class StressJson
{
    /// <summary>
    /// <c>{ "conditions", "drive": { "source", "volts", "frequency", "watts" }, "stresses": [ { "part", "what", "unit", "limit", "limit_source", "ratio", "worst", "values" } ], "bias", "fuses",
    /// "notes" }</c>: rated stresses worst first, then those without a limit (<c>limit</c> and <c>ratio</c> null); <c>drive</c> is that at clipping, RMS volts, or null; <c>values</c> by
    /// condition. Times are in seconds, null where there is none.
    /// </summary>
    public static string ToText(StressReport report) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteStrings("conditions", report.Conditions);
            if (report.Drive is { } drive)
            {
                json.WriteStartObject("drive");
                json.WriteString("source", drive.Source);
                json.WriteRounded("volts", drive.Volts);
                json.WriteRounded("frequency", drive.Frequency);
                json.WriteRounded("watts", drive.Watts);
                json.WriteEndObject();
            }
            else
            {
                json.WriteNull("drive");
            }
            json.WriteObjects(
                "stresses",
                report.Lines.Concat(report.Unrated),
                line => Line(json, report, line)
            );
            json.WriteObjects(
                "bias",
                report.Bias,
                bias =>
                {
                    json.WriteString("part", bias.Part);
                    json.WriteRounded("limit", bias.Limit);
                    json.WriteRounded("idle", bias.Idle);
                    json.WriteString("control", bias.Control);
                    json.WriteRounded("least", bias.Least);
                    json.WriteRounded("most", bias.Most);
                }
            );
            json.WriteObjects("fuses", report.Fuses, fuse => Fuse(json, fuse));
            json.WriteStrings("notes", report.Notes);
        });

    private static void Line(Utf8JsonWriter json, StressReport report, StressLine line)
    {
        json.WriteString("part", line.Item.Part);
        json.WriteString("what", line.Item.Kind.Describe());
        json.WriteString("unit", line.Item.Kind.Unit());
        json.WriteRounded("limit", line.Item.Limit);
        json.WriteString("limit_source", line.Item.LimitSource);
        json.WriteRounded("ratio", line.Ratio);
        json.WriteString("worst", report.Conditions[line.WorstCondition]);
        json.WriteStartObject("values");
        for (var i = 0; i < report.Conditions.Length; i++)
        {
            json.WriteRounded(report.Conditions[i], line.Values[i]);
        }
        json.WriteEndObject();
    }

    private static void Fuse(Utf8JsonWriter json, FuseEvent fuse)
    {
        json.WriteString("fuse", fuse.Fuse);
        json.WriteString("event", fuse.Event);
        json.WriteRounded("amps", fuse.Amps);
        json.WriteRounded("rated", fuse.Rated);
        json.WriteString("speed", fuse.Speed);
        if (fuse.Opening is { } opening)
        {
            json.WriteBoolean("opens", opening.Opens);
        }
        else
        {
            json.WriteNull("opens");
        }
        json.WriteRounded("least_seconds", fuse.Opening?.Least);
        json.WriteRounded("most_seconds", fuse.Opening?.Most);
    }
}
