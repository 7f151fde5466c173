using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Jobs.Storage;

namespace NetAudit.Jobs;

/// <content>What closed jobs say.</content>
public sealed partial class JobStore
{
    /// <summary>What the shop's closed jobs teach.</summary>
    public ShopLearning Learning { get; }

    /// <summary>Changes whenever a job is closed, opened again, or changed while it is closed.</summary>
    internal string ClosedStamp() =>
        _database.Read(transaction =>
            Convert.ToString(
                transaction.Scalar(
                    "SELECT count(*) || ' ' || coalesce(max(changed), '') || ' ' || coalesce(sum(number), 0) FROM job WHERE state = $state",
                    ("$state", JobState.Closed.Name())
                ),
                CultureInfo.InvariantCulture
            )!
        );

    /// <summary>Causes written on closed jobs, with the key of the job's circuit; classes are not known yet.</summary>
    internal ImmutableArray<(ConfirmedCause Cause, string? Circuit)> ClosedCauses() =>
        _database.Read(transaction =>
            transaction
                .Rows(
                    $"""
                    SELECT number, circuit, {JobSearch.Field("model")}, {JobSearch.Field(
                        "cause_part"
                    )}, {JobSearch.Field("cause_mode")}
                    FROM job WHERE state = $state ORDER BY number DESC
                    """,
                    row =>
                        (
                            new ConfirmedCause(
                                row.GetInt64(0),
                                row.GetString(2),
                                row.GetString(3),
                                row.GetString(4),
                                null
                            ),
                            row.IsDBNull(1) ? null : row.GetString(1)
                        ),
                    ("$state", JobState.Closed.Name())
                )
                .Where(closed => closed.Item1.Part.Trim().Length > 0)
                .ToImmutableArray()
        );

    /// <summary>The circuit of that key, or null.</summary>
    internal CircuitSource? Circuit(string key) =>
        _database.Read(transaction => transaction.LoadCircuit(key));
}
