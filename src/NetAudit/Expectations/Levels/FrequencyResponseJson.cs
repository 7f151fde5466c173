using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations.Levels;

/// <summary>A frequency response as JSON.</summary>
public static class FrequencyResponseJson
{
    /// <summary>
    /// <c>{ "from", "to", "reference": { "frequency", "gain", "gain_db", "phase" }, "low", "high", "points": [ { ... } ] }</c>: hertz, volts per
    /// volt, decibels, degrees; <c>low</c> and <c>high</c> are the -3 dB points, null when there are none from 1 Hz to 1 MHz.
    /// </summary>
    public static string ToText(Amplifier amplifier, FrequencyResponse response) =>
        JsonDocumentText.Of(json =>
        {
            json.WriteStartObject();
            json.WriteString("from", amplifier.Circuit.Nodes[response.From].Name);
            json.WriteString("to", amplifier.Circuit.Nodes[response.To].Name);
            json.WritePropertyName("reference");
            Write(response.Reference);
            json.WriteRounded("low", response.Low);
            json.WriteRounded("high", response.High);
            json.WriteStartArray("points");
            foreach (var point in response.Points)
            {
                Write(point);
            }
            json.WriteEndArray();
            json.WriteEndObject();

            void Write(ResponsePoint point)
            {
                json.WriteStartObject();
                json.WriteRounded("frequency", point.Frequency);
                json.WriteRounded("gain", Complex.Abs(point.Gain));
                json.WriteRounded("gain_db", point.Decibels);
                json.WriteRounded("phase", point.Phase);
                json.WriteEndObject();
            }
        });
}
