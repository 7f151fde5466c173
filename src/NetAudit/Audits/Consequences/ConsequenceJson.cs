using System.Text.Json;
using NetAudit.Audits.Stresses;
using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Audits.Consequences;

/// <summary>Consequences as JSON.</summary>
public static class ConsequenceJson
{
    /// <summary>
    /// <c>{ "consequences": [ { "faults", "share", "alike", "settled", "overloads", "fuses", "hazards" } ] }</c>, most harmful first; faults
    /// as in a diagnosis; <c>seconds</c> null when the part lives on or heat does not decide.
    /// </summary>
    public static string ToText(IEnumerable<Consequence> consequences) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteObjects("consequences", consequences, one => Write(json, one));
        });

    private static void Write(Utf8JsonWriter json, Consequence consequence)
    {
        json.WriteObjects("faults", consequence.Faults, fault => DiagnosisJson.Write(json, fault));
        json.WriteRounded("share", consequence.Share);
        json.WriteObjects("alike", consequence.Alike, fault => DiagnosisJson.Write(json, fault));
        json.WriteBoolean("settled", consequence.Settled);
        json.WriteObjects(
            "overloads",
            consequence.Overloads,
            overload =>
            {
                json.WriteString("part", overload.Item.Part);
                json.WriteString("what", overload.Item.Kind.Describe());
                json.WriteString("unit", overload.Item.Kind.Unit());
                json.WriteRounded("value", overload.Value);
                json.WriteRounded("healthy", overload.Healthy);
                json.WriteRounded("limit", overload.Item.Limit);
                json.WriteRounded("ratio", overload.Ratio);
                json.WriteRounded("seconds", overload.Seconds);
                json.WriteBoolean("outlived", overload.Outlived);
            }
        );
        json.WriteObjects(
            "fuses",
            consequence.Fuses,
            fuse =>
            {
                json.WriteString("fuse", fuse.Fuse);
                json.WriteRounded("amps", fuse.Amps);
                json.WriteRounded("rated", fuse.Rated);
                json.WriteRounded("least_seconds", fuse.Opening?.Least);
                json.WriteRounded("most_seconds", fuse.Opening?.Most);
            }
        );
        json.WriteObjects(
            "hazards",
            consequence.Hazards,
            hazard =>
            {
                json.WriteString("place", hazard.Place);
                json.WriteRounded("volts", hazard.Volts);
                json.WriteRounded("amps", hazard.Amps);
                json.WriteString("level", hazard.Level.ToString().ToLowerInvariant());
                json.WriteBoolean("insulated", hazard.IsInsulated);
            }
        );
    }
}
