using System.Numerics;
using System.Text.Json;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations.Levels;

/// <summary>Levels and stage figures as JSON and CSV. Volts RMS, ohms, hertz, decibels, degrees.</summary>
public static class SignalLevelsJson
{
    /// <summary>
    /// <c>{ "source", "frequency", "volts", "input_ohms", "points": [ { "at", "name", "stage", "volts", "phase", "differs" } ], "stages": [ { "stage",
    /// "from", "to", "gain", "gain_db", "fed_in", "input_ohms", "output_ohms" } ], "loads": [ { "element", "ohms", "volts",
    /// "one_watt_volts", "output_ohms" } ] }</c>. Ohms are magnitudes; null is far beyond any meter.
    /// <c>differs</c>: driven so, the unit shows another level there.
    /// </summary>
    public static string ToText(Amplifier amplifier, SignalLevels levels) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteString("source", levels.Source);
            json.WriteRounded("frequency", levels.Frequency);
            json.WriteRounded("volts", levels.Volts);
            WriteOhms(json, "input_ohms", levels.InputImpedance);
            json.WriteObjects(
                "points",
                levels.Points,
                level =>
                {
                    json.WriteString("at", level.Point.ShortName(amplifier));
                    json.WriteString("name", level.Point.Name);
                    json.WriteString("stage", amplifier.StageOfNode(level.Point.Node)?.Name);
                    json.WriteRounded("volts", level.Volts);
                    json.WriteRounded("phase", level.Phase);
                    json.WriteBoolean("differs", levels.Driven?.Differs(level.Point.Node) ?? false);
                }
            );
            json.WriteObjects(
                "stages",
                levels.Stages,
                stage =>
                {
                    json.WriteString("stage", stage.Name);
                    json.WriteString("from", amplifier.Circuit.Nodes[stage.Input].Name);
                    json.WriteString("to", amplifier.Circuit.Nodes[stage.Output].Name);
                    json.WriteRounded("gain", Complex.Abs(stage.Gain));
                    json.WriteRounded("gain_db", stage.Decibels);
                    json.WriteBoolean("fed_in", stage.IsFedIn);
                    WriteOhms(json, "input_ohms", stage.InputImpedance);
                    WriteOhms(json, "output_ohms", stage.OutputImpedance);
                }
            );
            json.WriteObjects(
                "loads",
                levels.Loads,
                load =>
                {
                    json.WriteString("element", load.Name);
                    json.WriteRounded("ohms", load.Ohms);
                    json.WriteRounded("volts", load.Volts);
                    json.WriteRounded("one_watt_volts", load.OneWattVolts);
                    WriteOhms(json, "output_ohms", load.OutputImpedance);
                }
            );
        });

    // Beyond this it is leakage that is counted.
    private const double MostOhms = 1e10;

    private static void WriteOhms(Utf8JsonWriter json, string name, Complex? ohms) =>
        json.WriteRounded(
            name,
            ohms is { } known && Complex.Abs(known) < MostOhms ? Complex.Abs(known) : null
        );
}
