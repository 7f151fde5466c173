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
        JsonDocumentText.Of(json =>
        {
            json.WriteStartObject();
            json.WriteStartArray("consequences");
            foreach (var consequence in consequences)
            {
                Write(json, consequence);
            }
            json.WriteEndArray();
            json.WriteEndObject();
        });

    private static void Write(Utf8JsonWriter json, Consequence consequence)
    {
        json.WriteStartObject();
        Faults(json, "faults", consequence.Faults);
        json.WriteRounded("share", consequence.Share);
        Faults(json, "alike", consequence.Alike);
        json.WriteBoolean("settled", consequence.Settled);
        json.WriteStartArray("overloads");
        foreach (var overload in consequence.Overloads)
        {
            json.WriteStartObject();
            json.WriteString("part", overload.Item.Part);
            json.WriteString("what", overload.Item.Kind.Describe());
            json.WriteString("unit", overload.Item.Kind.Unit());
            json.WriteRounded("value", overload.Value);
            json.WriteRounded("healthy", overload.Healthy);
            json.WriteRounded("limit", overload.Item.Limit);
            json.WriteRounded("ratio", overload.Ratio);
            json.WriteRounded("seconds", overload.Seconds);
            json.WriteBoolean("outlived", overload.Outlived);
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteStartArray("fuses");
        foreach (var fuse in consequence.Fuses)
        {
            json.WriteStartObject();
            json.WriteString("fuse", fuse.Fuse);
            json.WriteRounded("amps", fuse.Amps);
            json.WriteRounded("rated", fuse.Rated);
            json.WriteRounded("least_seconds", fuse.Opening?.Least);
            json.WriteRounded("most_seconds", fuse.Opening?.Most);
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteStartArray("hazards");
        foreach (var hazard in consequence.Hazards)
        {
            json.WriteStartObject();
            json.WriteString("place", hazard.Place);
            json.WriteRounded("volts", hazard.Volts);
            json.WriteRounded("amps", hazard.Amps);
            json.WriteString("level", hazard.Level.ToString().ToLowerInvariant());
            json.WriteBoolean("insulated", hazard.IsInsulated);
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Faults(Utf8JsonWriter json, string name, IEnumerable<Fault> faults)
    {
        json.WriteStartArray(name);
        foreach (var fault in faults)
        {
            DiagnosisJson.Write(json, fault);
        }
        json.WriteEndArray();
    }
}
