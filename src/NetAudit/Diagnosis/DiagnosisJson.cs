using System.Text.Json;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>
/// The answer as JSON, a contract: <c>verdict, healthy, suspects, stages, readings, next, unseen</c>. Values in base SI units; computed numbers
/// to seven significant digits.
/// </summary>
public static class DiagnosisJson
{
    /// <summary>The answer as a JSON text.</summary>
    public static string ToText(DiagnosisResult result) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteString("verdict", Word(result.Verdict));
            json.WriteRounded("healthy", result.Healthy);
            json.WriteObjects("suspects", result.Suspects, item => Write(json, item));
            json.WriteObjects("stages", result.Stages, item => Write(json, item));
            json.WriteObjects("readings", result.Readings, item => Write(json, item));
            json.WriteObjects("next", result.Next, item => Write(json, item));
            json.WriteRounded("unseen", result.Unseen);
        });

    private static string Word(Verdict verdict) =>
        verdict switch
        {
            Verdict.WithinLimits => "within-limits",
            Verdict.Fault => "fault",
            _ => "unexplained",
        };

    private static void Write(Utf8JsonWriter json, Suspect suspect)
    {
        json.WriteRounded("probability", suspect.Probability);
        json.WriteString("stage", suspect.Stage);
        json.WriteObjects("faults", suspect.Faults, item => Write(json, item));
        json.WriteStartArray("equivalents");
        foreach (var set in suspect.Equivalents)
        {
            json.WriteStartArray();
            foreach (var fault in set)
            {
                json.WriteStartObject();
                Write(json, fault);
                json.WriteEndObject();
            }
            json.WriteEndArray();
        }
        json.WriteEndArray();
        json.WriteRounded("consistency", suspect.Consistency);
        json.WriteObjects("also_look_at", suspect.Overloaded, item => Write(json, item));
    }

    /// <summary>The properties of a fault as they stand in every answer.</summary>
    internal static void Write(Utf8JsonWriter json, Fault fault)
    {
        json.WriteString("part", fault.Part);
        json.WriteString("mode", fault.Mode.Name());
        json.WriteString("pin", fault.Pin);
        if (fault.Nodes is { } nodes)
        {
            json.WriteStartArray("nodes");
            json.WriteStringValue(nodes.First);
            json.WriteStringValue(nodes.Second);
            json.WriteEndArray();
        }
        else
        {
            json.WriteNull("nodes");
        }
        json.WriteRounded("value", fault.Value);
        json.WriteString("unit", fault.Unit);
    }

    private static void Write(Utf8JsonWriter json, OverloadedPart part)
    {
        json.WriteString("part", part.Part);
        json.WriteString("what", part.What);
        json.WriteString("unit", part.Unit);
        json.WriteRounded("value", part.Value);
        json.WriteRounded("limit", part.Limit);
    }

    private static void Write(Utf8JsonWriter json, StageState stage)
    {
        json.WriteString("name", stage.Name);
        json.WriteRounded("deviation", stage.Deviation);
        json.WriteRounded("fault_probability", stage.FaultProbability);
    }

    private static void Write(Utf8JsonWriter json, ReadingState state)
    {
        json.WriteString("at", state.Reading.At);
        json.WriteString("kind", state.Reading.Kind.Name());
        json.WriteString("condition", state.Reading.Condition.Text);
        json.WriteFinite("measured", state.Reading.Value);
        if (state.Reading.Word is { } word)
        {
            json.WriteString("word", word);
        }
        json.WriteRounded("expected", state.Expected);
        json.WriteRounded("low", state.Low);
        json.WriteRounded("high", state.High);
        json.WriteRounded("deviation", state.Deviation);
        json.WriteRounded("given_others", state.GivenOthers);
        json.WriteBoolean("questionable", state.Questionable);
    }

    private static void Write(Utf8JsonWriter json, NextReading next)
    {
        json.WriteString("at", next.At);
        json.WriteString("ref", next.IsAcross ? null : "0");
        json.WriteString("kind", next.Kind.Name());
        json.WriteString("condition", next.Condition.Text);
        json.WriteRounded("gain_bits", next.GainBits);
        json.WriteRounded("cost", next.Cost);
        json.WriteString("why", next.Why);
        json.WriteStrings("outcomes", next.Outcomes);
        json.WriteString("caution", next.Caution);
    }
}
