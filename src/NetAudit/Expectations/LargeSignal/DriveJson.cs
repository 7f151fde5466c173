using System.Text.Json;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>A drive sweep as JSON.</summary>
public static class DriveJson
{
    /// <summary>
    /// <c>{ "source", "frequency", "load", "path": [ { "name", "node" } ], "points": [ point ], "clipping": { "point", "sign", "place" } }</c>
    /// with points <c>{ "drive", "settled", "gain", "watts", "load": level, "path": [ level ] }</c> and levels
    /// <c>{ "mean", "fundamental", "distortion", "harmonics": [ second to tenth ] }</c>: RMS volts, hertz, shares; what is not known is
    /// null.
    /// </summary>
    public static string ToText(Amplifier amplifier, DriveSweep sweep) =>
        JsonDocumentText.Of(json =>
        {
            var elements = amplifier.Circuit.Elements;
            json.WriteStartObject();
            if (sweep.Setup is { } setup)
            {
                json.WriteString("source", elements[setup.Source].Name);
                json.WriteFinite("frequency", setup.Frequency);
                json.WriteString("load", setup.Load >= 0 ? elements[setup.Load].Name : null);
                json.WriteStartArray("path");
                foreach (var (name, node) in setup.Path)
                {
                    json.WriteStartObject();
                    json.WriteString("name", name);
                    json.WriteString("node", amplifier.Circuit.Nodes[node].Name);
                    json.WriteEndObject();
                }
                json.WriteEndArray();
            }
            json.WriteStartArray("points");
            foreach (var point in sweep.Points)
            {
                Write(json, point);
            }
            json.WriteEndArray();
            json.WritePropertyName("clipping");
            if (sweep.Clipping is { } clipping)
            {
                json.WriteStartObject();
                json.WriteString(
                    "sign",
                    clipping.Sign == ClippingSign.Distortion ? "distortion" : "compression"
                );
                json.WriteString("place", sweep.Setup!.Path[clipping.Place].Name);
                json.WritePropertyName("point");
                Write(json, clipping.Point);
                json.WriteEndObject();
            }
            else
            {
                json.WriteNullValue();
            }
            json.WriteEndObject();
        });

    private static void Write(Utf8JsonWriter json, DrivePoint point)
    {
        json.WriteStartObject();
        json.WriteRounded("drive", point.Drive);
        json.WriteBoolean("settled", point.Settled);
        json.WriteRounded("gain", point.Load is null ? null : point.Gain);
        json.WriteRounded("watts", point.Watts);
        json.WritePropertyName("load");
        if (point.Load is { } load)
        {
            Write(json, load);
        }
        else
        {
            json.WriteNullValue();
        }
        json.WriteStartArray("path");
        foreach (var level in point.Path)
        {
            Write(json, level);
        }
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Write(Utf8JsonWriter json, Spectrum level)
    {
        json.WriteStartObject();
        json.WriteRounded("mean", level.Mean);
        json.WriteRounded("fundamental", level.Fundamental);
        json.WriteRounded("distortion", level.Distortion);
        json.WriteStartArray("harmonics");
        foreach (var harmonic in level.Harmonics)
        {
            json.WriteNumberValue(EngineeringNotation.RoundSignificant(harmonic, 7));
        }
        json.WriteEndArray();
        json.WriteEndObject();
    }
}
