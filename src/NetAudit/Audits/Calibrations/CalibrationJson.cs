using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Audits.Calibrations;

/// <summary>A calibration as JSON: <c>sound, consistency, suspect, terms, readings, notes</c>.</summary>
public static class CalibrationJson
{
    /// <summary>The result as a JSON text.</summary>
    public static string ToText(CalibrationResult result) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteBoolean("sound", result.IsSound);
            json.WriteRounded("consistency", result.Consistency);
            json.WriteString(
                "suspect",
                result.Suspect is { } suspect ? VerdictWords.Faults(suspect.Faults) : null
            );
            json.WriteObjects(
                "terms",
                result.Terms,
                term =>
                {
                    json.WriteString("name", term.Name);
                    json.WriteRounded("moved", term.Moved);
                    json.WriteRounded("factor", term.Factor);
                    json.WriteRounded("offset", term.Offset);
                    json.WriteRounded("left", term.Left);
                    json.WriteBoolean("carried", term.IsCarried);
                }
            );
            json.WriteObjects(
                "readings",
                result.Readings,
                reading =>
                {
                    json.WriteString("at", reading.At);
                    json.WriteFinite("measured", reading.Measured);
                    json.WriteRounded("before", reading.Before);
                    json.WriteRounded("after", reading.After);
                    json.WriteRounded("given_others", reading.GivenOthers);
                }
            );
            json.WriteStrings("notes", result.Notes);
        });
}
