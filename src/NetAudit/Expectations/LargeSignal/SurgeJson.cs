using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>Switch-on surges as JSON.</summary>
public static class SurgeJson
{
    /// <summary>
    /// <c>[ { "tubes": "cold" | "warm", "settled", "seconds", "rails": [ { "node", "peak", "at", "final" } ],
    /// "sources": [ { "source", "peak", "at", "final" } ] } ]</c>: volts, amperes, seconds.
    /// </summary>
    public static string ToText(Amplifier amplifier, ImmutableArray<SwitchOnSurge> surges) =>
        JsonDocumentText.Of(json =>
        {
            json.WriteStartArray();
            foreach (var surge in surges)
            {
                json.WriteStartObject();
                json.WriteString("tubes", surge.ColdTubes ? "cold" : "warm");
                json.WriteBoolean("settled", surge.Settled);
                json.WriteRounded("seconds", surge.Seconds);
                json.WriteObjects(
                    "rails",
                    surge.Rails,
                    rail =>
                    {
                        json.WriteString("node", amplifier.Circuit.Nodes[rail.Node].Name);
                        json.WriteRounded("peak", rail.PeakVolts);
                        json.WriteRounded("at", rail.PeakTime);
                        json.WriteRounded("final", rail.FinalVolts);
                    }
                );
                json.WriteObjects(
                    "sources",
                    surge.Sources,
                    source =>
                    {
                        json.WriteString("source", amplifier.Circuit.Elements[source.Element].Name);
                        json.WriteRounded("peak", source.PeakAmps);
                        json.WriteRounded("at", source.PeakTime);
                        json.WriteRounded("final", source.FinalAmps);
                    }
                );
                json.WriteEndObject();
            }
            json.WriteEndArray();
        });
}
