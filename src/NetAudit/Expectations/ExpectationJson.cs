using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>The expected readings as JSON.</summary>
public static class ExpectationJson
{
    /// <summary>
    /// <c>{ "readings": [ { "at", "name", "stage", "kind", "condition", "expected", "low", "high", "unit", "differs" } ] }</c>, in the order of
    /// <see cref="StagePoints"/>: <c>at</c> is the short name that a readings file takes. Over-range is null. <c>differs</c>: driven so,
    /// the unit shows another level there.
    /// </summary>
    public static string ToText(Amplifier amplifier, Expectation expectation) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteStartArray("readings");
            foreach (var (stage, readings) in StagePoints.Group(amplifier, expectation.Readings))
            {
                foreach (var reading in readings)
                {
                    json.WriteStartObject();
                    json.WriteString("at", reading.At(amplifier));
                    json.WriteString("name", reading.Across ?? reading.Point.Name);
                    json.WriteString("stage", stage);
                    json.WriteString("kind", reading.Kind.Name());
                    json.WriteString("condition", reading.Condition.Text);
                    json.WriteRounded("expected", reading.Mean);
                    json.WriteRounded("low", reading.Low);
                    json.WriteRounded("high", reading.High);
                    json.WriteString("unit", reading.Kind == ReadingKind.Ohms ? "Ω" : "V");
                    json.WriteBoolean(
                        "differs",
                        expectation.Driven?.Differs(reading.Point.Node) ?? false
                    );
                    json.WriteEndObject();
                }
            }
            json.WriteEndArray();
        });
}
