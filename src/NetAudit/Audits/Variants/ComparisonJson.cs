using System.Text.Json;
using NetAudit.Audits.Stresses;
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
        JsonDocumentText.OfObject(json =>
        {
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
            json.WriteStrings("notes", comparison.Notes);
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
            json.WriteObjects(
                "removed",
                _difference.Removed,
                unit => Unit(Matching.First[unit], _first)
            );
            json.WriteObjects(
                "added",
                _difference.Added,
                unit => Unit(Matching.Second[unit], _second)
            );
            json.WriteObjects("changed", _difference.Changed, Change);
            json.WriteObjects("matches", Matching.Units, Pair);
            json.WriteObjects("nodes", Matching.Nodes, Pair);
            json.WriteObjects("voltages", _difference.Voltages, Voltage);
            json.WriteObjects("stresses", _difference.Stresses, Stress);
            json.WriteObjects("gains", _difference.Gains, Gain);
            json.WriteObjects("response", _difference.Response, Level);
            json.WriteEndObject();
        }

        private void Unit(VariantUnit unit, Circuit circuit)
        {
            json.WriteString("name", unit.Name);
            json.WriteString("part", unit.Part);
            json.WriteRounded("value", unit.Value);
            json.WriteString("unit", unit.Value is null ? null : unit.Unit);
            json.WriteString("type", unit.Type);
            json.WriteStrings("nodes", unit.Nodes.Select(node => circuit.Nodes[node].Name));
        }

        private void Pair(UnitMatch match)
        {
            var (first, second) = (Matching.First[match.First], Matching.Second[match.Second]);
            json.WriteString("first", first.Name);
            json.WriteString("second", second.Name);
            json.WriteString("first_part", first.Part);
            json.WriteString("second_part", second.Part);
            json.WriteRounded("confidence", match.Confidence);
        }

        private void Pair(NodeMatch match)
        {
            json.WriteString("first", _first.Nodes[match.First].Name);
            json.WriteString("second", _second.Nodes[match.Second].Name);
            json.WriteRounded("confidence", match.Confidence);
        }

        private void Change(UnitChange change)
        {
            var first = Matching.First[change.Match.First];
            var second = Matching.Second[change.Match.Second];
            Pair(change.Match);
            json.WriteStrings("what", What(change));
            json.WriteRounded("first_value", first.Value);
            json.WriteRounded("second_value", second.Value);
            json.WriteString("unit", first.Value is null ? null : first.Unit);
            json.WriteString("first_type", first.Type);
            json.WriteString("second_type", second.Type);
            json.WriteObjects(
                "moved",
                change.Moved,
                end =>
                {
                    json.WriteString("from", _first.Nodes[end.From].Name);
                    json.WriteString("to", _second.Nodes[end.To].Name);
                }
            );
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
        }

        private void Reading(string name, ExpectedReading reading)
        {
            json.WriteRounded(name + "_expected", reading.Mean);
            json.WriteRounded(name + "_low", reading.Low);
            json.WriteRounded(name + "_high", reading.High);
        }

        private void Stress(StressDifference difference)
        {
            Pair(difference.Match);
            json.WriteString("what", difference.Kind.Describe());
            json.WriteString("unit", difference.Kind.Unit());
            json.WriteRounded("first_value", difference.First.Value);
            json.WriteRounded("first_limit", difference.First.Limit);
            json.WriteRounded("second_value", difference.Second.Value);
            json.WriteRounded("second_limit", difference.Second.Limit);
        }

        private void Gain(GainDifference difference)
        {
            json.WriteString("stage", difference.Stage);
            json.WriteRounded("first_gain", difference.First);
            json.WriteRounded("second_gain", difference.Second);
            json.WriteRounded("decibels", difference.Decibels);
        }

        private void Level(ResponseDifference difference)
        {
            json.WriteNumber("frequency", difference.Frequency);
            json.WriteRounded("first_gain", difference.First);
            json.WriteRounded("second_gain", difference.Second);
            json.WriteRounded("decibels", difference.Decibels);
        }
    }
}
