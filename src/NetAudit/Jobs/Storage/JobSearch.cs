using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Jobs.Storage;

/// <summary>Finds jobs by words and state.</summary>
internal static class JobSearch
{
    /// <summary>More words than anyone types are left out.</summary>
    private const int MostWords = 12;

    public static ImmutableArray<JobSummary> FindJobs(
        this JobTransaction transaction,
        string text,
        JobState? state,
        int most
    )
    {
        var words = text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)
            .Take(MostWords)
            .ToArray();
        var conditions = words.Select(
            (_, i) =>
                $"""
                    (number = $number{i} OR EXISTS (SELECT 1 FROM field WHERE job = job.number AND name <> 'view'
                     AND content LIKE $word{i} ESCAPE '\'))
                    """
        );
        var values = words
            .SelectMany(
                (word, i) =>
                    new (string, object?)[]
                    {
                        ($"$word{i}", $"%{Escaped(word)}%"),
                        ($"$number{i}", long.TryParse(word, out var number) ? number : -1),
                    }
            )
            .Append(("$state", state?.Name()))
            .Append(("$most", most))
            .ToArray();
        var where = string.Join(" AND ", conditions.Prepend("($state IS NULL OR state = $state)"));
        return
        [
            .. transaction.Rows(
                $"""
                SELECT number, opened, changed, state, {Field("model")}, {Field("variant")}, {Field("serial")}, {Field(
                    "owner"
                )},
                {Field("complaint")}, (SELECT count(*) FROM reading WHERE job = job.number AND taken_back = 0)
                FROM job WHERE {where} ORDER BY changed DESC, number DESC LIMIT $most
                """,
                row => new JobSummary(
                    row.GetInt64(0),
                    JobTime.Read(row.GetString(1)),
                    JobTime.Read(row.GetString(2)),
                    EnumName.Find<JobState>(row.GetString(3)) ?? JobState.OnBench,
                    $"{row.GetString(4)} {row.GetString(5)}".Trim(),
                    row.GetString(6),
                    row.GetString(7),
                    row.GetString(8),
                    row.GetInt32(9)
                ),
                values
            ),
        ];
    }

    /// <summary>A field of the job of the row, as an expression; empty when it was never written.</summary>
    /// <param name="name">Its name: a constant of this program.</param>
    public static string Field(string name) =>
        $"coalesce((SELECT content FROM field WHERE job = job.number AND name = '{name}'), '')";

    private static string Escaped(string word) =>
        word.Replace(@"\", @"\\", StringComparison.Ordinal)
            .Replace("%", @"\%", StringComparison.Ordinal)
            .Replace("_", @"\_", StringComparison.Ordinal);
}
