using Microsoft.Data.Sqlite;
using NetAudit.Jobs;
using NetAudit.Jobs.Storage;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>A disk that fails costs nothing that was confirmed, and is said.</summary>
public sealed class JobStoreFailureTests : IDisposable
{
    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public void DiskFull_IsSaidAndWhatWasConfirmedStays()
    {
        var confirmed = new List<string>();
        long number;
        using (var store = _bench.Open())
        {
            number = Bench.NewJob(store);
            store.Database.LimitPages(60);
            Kept kept = default;
            for (var i = 0; i < 20_000 && kept.Problem is null; i++)
            {
                kept = store.AddReading(number, ReadingPhase.Before, Bench.Read($"p1 {i}"));
                if (kept.Problem is null)
                {
                    confirmed.Add($"{i}");
                }
            }
            Assert.Contains("full", kept.Problem!.Message, StringComparison.Ordinal);
            Assert.NotNull(kept.Problem.Mend);
            // Room again: work goes on in the same store.
            store.Database.LimitPages(100_000);
            Assert.Null(
                store.AddReading(number, ReadingPhase.Before, Bench.Read("k1 1.5")).Problem
            );
        }

        using var again = _bench.Open();
        Assert.NotEmpty(confirmed);
        Assert.Equal([.. confirmed, "1.5"], again.Load(number)!.Readings.Select(r => r.Value));
    }

    [Fact]
    public void ReadOnly_IsSaidAndNothingIsKept()
    {
        using var store = _bench.Open();
        var number = Bench.NewJob(store);
        store.Database.ForbidWriting(true);

        var kept = store.AddReading(number, ReadingPhase.Before, Bench.Read("p1 182"));

        Assert.Contains("may not be written", kept.Problem!.Message, StringComparison.Ordinal);
        store.Database.ForbidWriting(false);
        Assert.Empty(store.Load(number)!.Readings);
        Assert.Equal(1, store.AddReading(number, ReadingPhase.Before, Bench.Read("p1 182")).Number);
    }

    [Theory]
    [InlineData("/proc/netaudit/jobs.db")]
    [InlineData("/dev/null/jobs.db")]
    public void FileThatCannotBeMade_IsAProblem(string path)
    {
        var (store, problem) = JobStore.Open(path, TimeProvider.System);

        Assert.Null(store);
        Assert.Contains(path, problem!.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void FileOfSomethingElse_IsLeftAlone()
    {
        File.WriteAllText(_bench.File, new string('x', 5000));
        var (store, problem) = JobStore.Open(_bench.File, _bench.Clock);

        Assert.Null(store);
        Assert.Contains("no job store", problem!.Message, StringComparison.Ordinal);
        Assert.Equal(new string('x', 5000), File.ReadAllText(_bench.File));
    }

    [Fact]
    public void DatabaseOfSomethingElse_IsLeftAlone()
    {
        Script("CREATE TABLE mine (a); INSERT INTO mine VALUES (1);");
        var (store, problem) = JobStore.Open(_bench.File, _bench.Clock);

        Assert.Null(store);
        Assert.Contains("something else", problem!.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void NewerFile_IsRefused()
    {
        _bench.Open().Dispose();
        Script("PRAGMA user_version = 99;");

        var (store, problem) = JobStore.Open(_bench.File, _bench.Clock);

        Assert.Null(store);
        Assert.Contains("newer version", problem!.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void OlderFile_IsBroughtUpToDate()
    {
        Script(
            JobSchema.Scripts[0]
                + $"""
                PRAGMA application_id = {JobSchema.ApplicationId}; PRAGMA user_version = 1;
                INSERT INTO job VALUES (4, '2025-01-02T03:04:05.000Z', '2025-01-02T03:04:05.000Z', 'on-bench', NULL, NULL);
                INSERT INTO field VALUES (4, 'words', 'it hums');
                INSERT INTO reading VALUES (4, 1, 'before', 'p1', 'dc', '182', '', '', '', '2025-01-02T03:05:00.000Z', 0);
                """
        );

        using var store = _bench.Open();

        var job = store.Load(4)!;
        Assert.Equal("it hums", job[JobField.Words]);
        Assert.Equal("182", job.Readings.Single().Value);
        Assert.Equal(1, store.AddPrice(4, "Labour", true, 1.5m, 60).Number);
        Assert.Equal(5, Bench.NewJob(store));
    }

    private void Script(string script)
    {
        using var connection = new SqliteConnection($"Data Source={_bench.File};Pooling=False");
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = script;
        command.ExecuteNonQuery();
    }
}
