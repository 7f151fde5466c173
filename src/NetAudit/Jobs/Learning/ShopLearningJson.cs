using NetAudit.Common;

namespace NetAudit.Jobs;

/// <summary>What was learnt from closed jobs, as JSON.</summary>
public static class ShopLearningJson
{
    /// <summary>
    /// <c>{ "on", "jobs_of_the_table", "models": [ { "model", "classes": { "tube": 2 } } ], "causes": [ { "job", "model", "part",
    /// "mode", "class" } ] }</c>. A cause without class does not count.
    /// </summary>
    public static string ToText(ShopLearning learning)
    {
        ArgumentNullException.ThrowIfNull(learning);
        var causes = learning.Causes();
        return JsonDocumentText.Of(json =>
        {
            json.WriteStartObject();
            json.WriteBoolean("on", learning.IsOn);
            json.WriteNumber("jobs_of_the_table", Diagnosis.ShopExperience.JobsOfTheTable);
            json.WriteStartArray("models");
            foreach (
                var model in causes
                    .Where(cause => cause.Class is not null)
                    .GroupBy(cause => cause.Model.Trim(), StringComparer.OrdinalIgnoreCase)
                    .OrderBy(model => model.Key, StringComparer.OrdinalIgnoreCase)
            )
            {
                json.WriteStartObject();
                json.WriteString("model", model.Key);
                json.WriteStartObject("classes");
                foreach (var known in model.GroupBy(cause => cause.Class!.Value))
                {
                    json.WriteNumber(EnumName.Of(known.Key), known.Count());
                }
                json.WriteEndObject();
                json.WriteEndObject();
            }
            json.WriteEndArray();
            json.WriteStartArray("causes");
            foreach (var cause in causes)
            {
                json.WriteStartObject();
                json.WriteNumber("job", cause.Job);
                json.WriteString("model", cause.Model);
                json.WriteString("part", cause.Part);
                json.WriteString("mode", cause.Mode);
                json.WriteString(
                    "class",
                    cause.Class is { } partClass ? EnumName.Of(partClass) : null
                );
                json.WriteEndObject();
            }
            json.WriteEndArray();
            json.WriteEndObject();
        });
    }
}
