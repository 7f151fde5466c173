using System.Collections.Immutable;
using System.Text.Json;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Audits.Variants;

/// <summary>A comparison as JSON: <c>variants, comparisons, notes</c>. Values in base SI units.</summary>
public static class ComparisonJson
{
    /// <summary>The comparison as a JSON text.</summary>
    /// <param name="comparison">The comparison.</param>
    /// <param name="files">File of each variant, in order.</param>
    public static string ToText(VariantComparison comparison, IReadOnlyList<string> files) =>
        JsonDocumentText.Of(json =>
        {
            json.WriteStartObject();
            json.WriteStartArray("variants");
            for (var i = 0; i < comparison.Variants.Length; i++)
            {
                var sheet = comparison.Variants[i].Sheet;
                json.WriteStartObject();
                json.WriteString("file", files[i]);
                json.WriteString("title", sheet.Title ?? comparison.Variants[i].Circuit.Title);
                json.WriteString("revision", sheet.Revision);
                json.WriteEndObject();
            }
            json.WriteEndArray();
            json.WriteStartArray("comparisons");
            for (var i = 0; i < comparison.Differences.Length; i++)
            {
                new Writer(json, comparison, i).Write();
            }
            json.WriteEndArray();
            json.WriteStartArray("notes");
            foreach (var note in comparison.Notes)
            {
                json.WriteStringValue(note);
            }
            json.WriteEndArray();
            json.WriteEndObject();
        });

    private sealed class Writer(Utf8JsonWriter json, VariantComparison comparison, int index)
    {
        private readonly VariantDifference _difference = comparison.Differences[index];
        private readonly Circuit _first = comparison.Variants[0].Circuit;
        private readonly Circuit _second = comparison.Variants[index + 1].Circuit;

        private VariantMatching Matching => _difference.Matching;

        public void Write()
        {
            json.WriteStartObject();
            json.WriteNumber("first", 0);
            json.WriteNumber("second", index + 1);
            json.WriteBoolean("differs", _difference.IsAnother);
            Array("removed", _difference.Removed, unit => Unit(Matching.First[unit], _first));
            Array("added", _difference.Added, unit => Unit(Matching.Second[unit], _second));
            Array("changed", _difference.Changed, Change);
            Array(
                "matches",
                Matching.Units,
                match =>
                {
                    Pair(match);
                    json.WriteEndObject();
                }
            );
            Array(
                "nodes",
                Matching.Nodes,
                match =>
                {
                    Pair(match);
                    json.WriteEndObject();
                }
            );
            Array("voltages", _difference.Voltages, Voltage);
            Array("dissipations", _difference.Dissipations, Heat);
            Array("gains", _difference.Gains, Gain);
            Array("response", _difference.Response, Level);
            json.WriteEndObject();
        }

        private void Array<T>(string name, ImmutableArray<T> items, Action<T> write)
        {
            json.WriteStartArray(name);
            foreach (var item in items)
            {
                write(item);
            }
            json.WriteEndArray();
        }

        private void Unit(VariantUnit unit, Circuit circuit)
        {
            json.WriteStartObject();
            json.WriteString("name", unit.Name);
            json.WriteString("part", unit.Part);
            json.WriteRounded("value", unit.Value);
            json.WriteString("unit", unit.Value is null ? null : unit.Unit);
            json.WriteString("type", unit.Type);
            json.WriteStartArray("nodes");
            foreach (var node in unit.Nodes)
            {
                json.WriteStringValue(circuit.Nodes[node].Name);
            }
            json.WriteEndArray();
            json.WriteEndObject();
        }

        private void Pair(UnitMatch match)
        {
            var (first, second) = (Matching.First[match.First], Matching.Second[match.Second]);
            json.WriteStartObject();
            json.WriteString("first", first.Name);
            json.WriteString("second", second.Name);
            json.WriteString("first_part", first.Part);
            json.WriteString("second_part", second.Part);
            json.WriteRounded("confidence", match.Confidence);
        }

        private void Pair(NodeMatch match)
        {
            json.WriteStartObject();
            json.WriteString("first", _first.Nodes[match.First].Name);
            json.WriteString("second", _second.Nodes[match.Second].Name);
            json.WriteRounded("confidence", match.Confidence);
        }

        private void Change(UnitChange change)
        {
            var first = Matching.First[change.Match.First];
            var second = Matching.Second[change.Match.Second];
            Pair(change.Match);
            json.WriteStartArray("what");
            foreach (var what in What(change))
            {
                json.WriteStringValue(what);
            }
            json.WriteEndArray();
            json.WriteRounded("first_value", first.Value);
            json.WriteRounded("second_value", second.Value);
            json.WriteString("unit", first.Value is null ? null : first.Unit);
            json.WriteString("first_type", first.Type);
            json.WriteString("second_type", second.Type);
            json.WriteStartArray("moved");
            foreach (var end in change.Moved)
            {
                json.WriteStartObject();
                json.WriteString("from", _first.Nodes[end.From].Name);
                json.WriteString("to", _second.Nodes[end.To].Name);
                json.WriteEndObject();
            }
            json.WriteEndArray();
            json.WriteEndObject();
        }

        private static IEnumerable<string> What(UnitChange change)
        {
            if (change.ValueChanged)
            {
                yield return "value";
            }
            if (change.TypeChanged)
            {
                yield return "type";
            }
            if (!change.Moved.IsEmpty)
            {
                yield return "connection";
            }
        }

        private void Voltage(VoltageDifference difference)
        {
            Pair(difference.Match);
            Reading("first", difference.First);
            Reading("second", difference.Second);
            json.WriteRounded("deviation", difference.Deviation);
            json.WriteEndObject();
        }

        private void Reading(string name, ExpectedReading reading)
        {
            json.WriteRounded(name + "_expected", reading.Mean);
            json.WriteRounded(name + "_low", reading.Low);
            json.WriteRounded(name + "_high", reading.High);
        }

        private void Heat(DissipationDifference difference)
        {
            Pair(difference.Match);
            json.WriteRounded("first_watts", difference.First);
            json.WriteRounded("second_watts", difference.Second);
            json.WriteEndObject();
        }

        private void Gain(GainDifference difference)
        {
            json.WriteStartObject();
            json.WriteString("stage", difference.Stage);
            json.WriteRounded("first_gain", difference.First);
            json.WriteRounded("second_gain", difference.Second);
            json.WriteRounded("decibels", difference.Decibels);
            json.WriteEndObject();
        }

        private void Level(ResponseDifference difference)
        {
            json.WriteStartObject();
            json.WriteNumber("frequency", difference.Frequency);
            json.WriteRounded("first_gain", difference.First);
            json.WriteRounded("second_gain", difference.Second);
            json.WriteRounded("decibels", difference.Decibels);
            json.WriteEndObject();
        }
    }
}
