using System.Collections.Immutable;
using System.Globalization;
using Microsoft.Data.Sqlite;
using NetAudit.Common;

namespace NetAudit.Jobs.Storage;

/// <summary>The statements that read jobs back.</summary>
internal static class JobReadingBack
{
    public static Job? LoadJob(this JobTransaction transaction, long job)
    {
        var head = transaction.Rows(
            "SELECT opened, changed, state, circuit FROM job WHERE number = $job",
            row => new Job
            {
                Number = job,
                Opened = JobTime.Read(row.GetString(0)),
                Changed = JobTime.Read(row.GetString(1)),
                State = State(row.GetString(2)),
                Fields = ImmutableSortedDictionary<JobField, string>.Empty,
                Circuit = row.IsDBNull(3) ? null : transaction.LoadCircuit(row.GetString(3)),
            },
            ("$job", job)
        );
        return head is [var found]
            ? found with
            {
                Fields = transaction.Fields(job),
                Checks =
                [
                    .. transaction.Rows(
                        "SELECT question, answer, note, at FROM answer WHERE job = $job ORDER BY rowid",
                        row => new CheckAnswer(
                            row.GetString(0),
                            row.GetString(1),
                            row.GetString(2),
                            JobTime.Read(row.GetString(3))
                        ),
                        ("$job", job)
                    ),
                ],
                Readings = [.. transaction.Rows(ReadingsOf, Reading, ("$job", job))],
                Steps = [.. transaction.Rows(StepsOf, Step, ("$job", job))],
                Prices = [.. transaction.Rows(PricesOf, Price, ("$job", job))],
                Cautions =
                [
                    .. transaction.Rows(
                        "SELECT content, at FROM caution WHERE job = $job ORDER BY rowid",
                        row => new Acknowledgement(
                            row.GetString(0),
                            JobTime.Read(row.GetString(1))
                        ),
                        ("$job", job)
                    ),
                ],
            }
            : null;
    }

    private const string ReadingsOf = """
        SELECT number, phase, place, kind, value, ref, condition, note, taken, taken_back
        FROM reading WHERE job = $job ORDER BY number
        """;

    private const string StepsOf =
        "SELECT number, kind, part, content, used, at FROM step WHERE job = $job ORDER BY number";

    private const string PricesOf =
        "SELECT number, content, labour, quantity, unit_price FROM price WHERE job = $job ORDER BY number";

    public static CircuitSource? LoadCircuit(this JobTransaction transaction, string key)
    {
        var includes = transaction
            .Rows(
                "SELECT name, content FROM include WHERE circuit = $key",
                row => (Name: row.GetString(0), Content: row.GetString(1)),
                ("$key", key)
            )
            .ToImmutableSortedDictionary(
                pair => pair.Name,
                pair => pair.Content,
                StringComparer.Ordinal
            );
        return transaction
            .Rows(
                "SELECT name, netlist, sheet FROM circuit WHERE key = $key",
                row => new CircuitSource(
                    row.GetString(0),
                    row.GetString(1),
                    row.IsDBNull(2) ? null : row.GetString(2),
                    includes
                ),
                ("$key", key)
            )
            .SingleOrDefault();
    }

    public static ImmutableArray<CircuitSource> AllCircuits(this JobTransaction transaction) =>
        [
            .. transaction
                .Rows(
                    """
                    SELECT circuit FROM job WHERE circuit IS NOT NULL
                    GROUP BY circuit ORDER BY max(changed) DESC
                    """,
                    row => row.GetString(0)
                )
                .Select(transaction.LoadCircuit)
                .OfType<CircuitSource>(),
        ];

    private static ImmutableSortedDictionary<JobField, string> Fields(
        this JobTransaction transaction,
        long job
    ) =>
        transaction
            .Rows(
                "SELECT name, content FROM field WHERE job = $job",
                row =>
                    (Field: EnumName.Find<JobField>(row.GetString(0), '_'), Text: row.GetString(1)),
                ("$job", job)
            )
            .Where(pair => pair.Field is not null)
            .ToImmutableSortedDictionary(pair => pair.Field!.Value, pair => pair.Text);

    private static JobReading Reading(SqliteDataReader row) =>
        new(
            row.GetInt64(0),
            EnumName.Find<ReadingPhase>(row.GetString(1)) ?? ReadingPhase.Before,
            row.GetString(2),
            row.GetString(3),
            row.GetString(4),
            row.GetString(5),
            row.GetString(6),
            row.GetString(7),
            JobTime.Read(row.GetString(8)),
            row.GetInt64(9) != 0
        );

    private static WorkStep Step(SqliteDataReader row) =>
        new(
            row.GetInt64(0),
            EnumName.Find<StepKind>(row.GetString(1)) ?? StepKind.Other,
            row.GetString(2),
            row.GetString(3),
            row.GetString(4),
            JobTime.Read(row.GetString(5))
        );

    private static PriceLine Price(SqliteDataReader row) =>
        new(
            row.GetInt64(0),
            row.GetString(1),
            row.GetInt64(2) != 0,
            decimal.Parse(row.GetString(3), CultureInfo.InvariantCulture),
            decimal.Parse(row.GetString(4), CultureInfo.InvariantCulture)
        );

    private static JobState State(string name) => EnumName.Find<JobState>(name) ?? JobState.OnBench;
}
