using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Audits.Variants;

/// <summary>An identification as JSON: <c>readings, variants, telling, notes</c>; variants most probable first.</summary>
public static class IdentificationJson
{
    /// <summary>The identification as a JSON text.</summary>
    /// <param name="identification">The identification.</param>
    /// <param name="variants">The circuits, in the order given.</param>
    /// <param name="files">Their files.</param>
    public static string ToText(
        VariantIdentification identification,
        IReadOnlyList<Amplifier> variants,
        IReadOnlyList<string> files
    ) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteNumber("readings", identification.Readings);
            json.WriteObjects(
                "variants",
                identification.Ranking,
                ranked =>
                {
                    json.WriteString("file", files[ranked.Variant]);
                    json.WriteString("title", Titles.Of(variants[ranked.Variant]));
                    json.WriteRounded("probability", ranked.Probability);
                    json.WriteRounded("log_evidence", ranked.LogEvidence);
                    json.WriteRounded("healthy", ranked.Diagnosis?.Healthy);
                    json.WriteString(
                        "suspect",
                        ranked.Diagnosis?.Suspects.FirstOrDefault()?.Faults[0].Describe()
                    );
                }
            );
            json.WriteStartArray("telling");
            foreach (var telling in identification.Telling)
            {
                var (first, second) = (
                    variants[identification.Ranking[0].Variant],
                    variants[identification.Ranking[1].Variant]
                );
                json.WriteStartObject();
                json.WriteString("at", telling.At);
                json.WriteString("first_at", first.Circuit.Nodes[telling.FirstNode].Name);
                json.WriteString("second_at", second.Circuit.Nodes[telling.SecondNode].Name);
                json.WriteRounded("first_expected", telling.First);
                json.WriteRounded("first_sigma", telling.FirstSigma);
                json.WriteRounded("second_expected", telling.Second);
                json.WriteRounded("second_sigma", telling.SecondSigma);
                json.WriteRounded("separation", telling.Separation);
                json.WriteEndObject();
            }
            json.WriteEndArray();
            json.WriteStrings("notes", identification.Notes);
        });
}
