using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using NetAudit.Jobs;

namespace NetAudit.Bench.Hosting;

/// <summary>Files of a job: reports to print, the job itself to carry away. They change nothing.</summary>
internal static class Downloads
{
    public static void MapDownloads(this IEndpointRouteBuilder app)
    {
        app.MapGet(
            "/files/{number:long}/report.html",
            (long number, JobStore store, CancellationToken cancellation) =>
                Html(
                    number,
                    store,
                    job => OwnerReport.ToHtml(job, ShopDetails.Of(store), cancellation)
                )
        );
        app.MapGet(
            "/files/{number:long}/record.html",
            (long number, JobStore store, CancellationToken cancellation) =>
                Html(
                    number,
                    store,
                    job =>
                        BenchRecord.ToHtml(
                            job,
                            ShopDetails.Of(store),
                            store.Learning.For(job),
                            cancellation
                        )
                )
        );
        app.MapGet(
            "/files/{number:long}/job.json",
            (long number, JobStore store) =>
                store.Load(number) is { } job
                    ? Results.File(
                        Encoding.UTF8.GetBytes(JobExport.ToText(job)),
                        "application/json",
                        $"job-{number}.json"
                    )
                    : Results.NotFound()
        );
        app.MapGet(
            "/files/learning.json",
            (JobStore store) =>
                Results.File(
                    Encoding.UTF8.GetBytes(ShopLearningJson.ToText(store.Learning)),
                    "application/json",
                    "learning.json"
                )
        );
    }

    private static IResult Html(long number, JobStore store, Func<Job, string> write) =>
        store.Load(number) is { } job
            ? Results.Content(write(job), "text/html; charset=utf-8")
            : Results.NotFound();
}
