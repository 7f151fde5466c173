using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Jobs.Storage;

namespace NetAudit.Jobs;

/// <summary>A list of jobs as JSON: an array.</summary>
public static class JobListJson
{
    /// <summary>The list's text, without a final newline.</summary>
    public static string ToText(ImmutableArray<JobSummary> jobs) =>
        JsonDocumentText.Of(json =>
        {
            json.WriteStartArray();
            foreach (var job in jobs)
            {
                json.WriteStartObject();
                json.WriteNumber("number", job.Number);
                json.WriteString("opened", JobTime.Write(job.Opened));
                json.WriteString("changed", JobTime.Write(job.Changed));
                json.WriteString("state", job.State.Name());
                json.WriteString("model", job.Model);
                json.WriteString("serial", job.Serial);
                json.WriteString("owner", job.Owner);
                json.WriteString("complaint", job.Complaint);
                json.WriteNumber("readings", job.Readings);
                json.WriteEndObject();
            }
            json.WriteEndArray();
        });
}
