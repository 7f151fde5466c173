using System.Text;
using NetAudit.Jobs;

namespace NetAudit.Fuzz.Targets;

/// <summary>A job file: what is read writes and reads again the same.</summary>
internal static class JobTarget
{
    private const string File = "fuzz.json";

    public static void Check(string text)
    {
        var (job, problems) = JobImport.Read(Encoding.UTF8.GetBytes(text), File);
        Contract.Places(problems, File, text);
        Contract.Holds((job is null) == !problems.IsEmpty, "a job exactly when nothing is wrong");
        if (job is null)
        {
            return;
        }
        var written = JobExport.ToText(job);
        var again = JobImport.Read(Encoding.UTF8.GetBytes(written), File).Job;
        Contract.Holds(
            again is not null && JobExport.ToText(again) == written,
            "a job that was read writes and reads again the same"
        );
    }
}
