using System.Globalization;
using Microsoft.Data.Sqlite;
using NetAudit.Common;

namespace NetAudit.Jobs.Storage;

/// <summary>
/// The SQLite file: write-ahead log, and every transaction flushed to the disk before it counts as done. A failure of the disk is a
/// <see cref="Diagnostic"/>, never an exception. Thread-safe: one caller at a time.
/// </summary>
internal sealed class JobDatabase : IDisposable
{
    private readonly SqliteConnection _connection;
    private readonly Lock _turn = new();
    private readonly string _path;

    private JobDatabase(string path, SqliteConnection connection) =>
        (_path, _connection) = (path, connection);

    /// <summary>Opens the file, makes it when it is missing, brings an older one up to date.</summary>
    public static (JobDatabase? Database, Diagnostic? Problem) Open(string path)
    {
        SqliteConnection? connection = null;
        try
        {
            if (Path.GetDirectoryName(Path.GetFullPath(path)) is { Length: > 0 } folder)
            {
                Directory.CreateDirectory(folder);
            }
            var settings = new SqliteConnectionStringBuilder
            {
                DataSource = path,
                Pooling = false,
                DefaultTimeout = 10,
            };
            connection = new SqliteConnection(settings.ToString());
            connection.Open();
            Run(connection, "PRAGMA busy_timeout = 10000; PRAGMA foreign_keys = ON;");
            if (Migrate(connection, path) is { } problem)
            {
                connection.Dispose();
                return (null, problem);
            }
            // FULL: the log is flushed at every commit, so that a commit outlives a power cut.
            Run(connection, "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;");
            return (new JobDatabase(path, connection), null);
        }
        catch (Exception problem)
            when (problem
                    is SqliteException
                        or IOException
                        or UnauthorizedAccessException
                        or ArgumentException
            )
        {
            connection?.Dispose();
            return (null, Explain(path, problem));
        }
    }

    /// <summary>Runs a transaction. Null when it is on the disk; else why not, and nothing of it is.</summary>
    public Diagnostic? Write(Action<JobTransaction> work)
    {
        lock (_turn)
        {
            try
            {
                using var transaction = _connection.BeginTransaction(deferred: false);
                work(new JobTransaction(_connection, transaction));
                transaction.Commit();
                return null;
            }
            catch (SqliteException problem)
            {
                return Explain(_path, problem);
            }
        }
    }

    /// <summary>Reads within one transaction, so that what is read belongs together.</summary>
    public T Read<T>(Func<JobTransaction, T> work)
    {
        lock (_turn)
        {
            using var transaction = _connection.BeginTransaction(deferred: true);
            return work(new JobTransaction(_connection, transaction));
        }
    }

    /// <summary>Most pages the file may grow to: stands for a full disk in tests.</summary>
    internal void LimitPages(int pages) =>
        Run(
            _connection,
            $"PRAGMA max_page_count = {pages.ToString(CultureInfo.InvariantCulture)};"
        );

    /// <summary>Takes or gives the right to write: stands for a disk that turned read-only in tests.</summary>
    internal void ForbidWriting(bool forbid) =>
        Run(_connection, $"PRAGMA query_only = {(forbid ? "ON" : "OFF")};");

    /// <summary>Closes the file.</summary>
    public void Dispose() => _connection.Dispose();

    private static Diagnostic? Migrate(SqliteConnection connection, string path)
    {
        var version = Number(connection, "PRAGMA user_version;");
        if (version == 0 && Number(connection, "SELECT count(*) FROM sqlite_schema;") > 0)
        {
            return Problem($"{path} is a database of something else", "name another file");
        }
        if (version > JobSchema.Version)
        {
            return Problem(
                $"{path} was written by a newer version of this program (format {version}, this one knows {JobSchema.Version})",
                "use the newer version, or another file"
            );
        }
        if (version > 0 && Number(connection, "PRAGMA application_id;") != JobSchema.ApplicationId)
        {
            return Problem($"{path} is a database of something else", "name another file");
        }
        if (version == JobSchema.Version)
        {
            return null;
        }
        using var transaction = connection.BeginTransaction(deferred: false);
        // Another process may have done it while this one waited for its turn.
        version = Number(connection, "PRAGMA user_version;", transaction);
        for (var i = (int)version; i < JobSchema.Version; i++)
        {
            Run(connection, JobSchema.Scripts[i], transaction);
        }
        Run(
            connection,
            $"PRAGMA application_id = {JobSchema.ApplicationId}; PRAGMA user_version = {JobSchema.Version};",
            transaction
        );
        transaction.Commit();
        return null;
    }

    private static void Run(
        SqliteConnection connection,
        string script,
        SqliteTransaction? transaction = null
    )
    {
        using var command = connection.CreateCommand();
        // Scripts are constants of this program.
#pragma warning disable CA2100
        command.CommandText = script;
#pragma warning restore CA2100
        command.Transaction = transaction;
        command.ExecuteNonQuery();
    }

    private static long Number(
        SqliteConnection connection,
        string question,
        SqliteTransaction? transaction = null
    )
    {
        using var command = connection.CreateCommand();
#pragma warning disable CA2100
        command.CommandText = question;
#pragma warning restore CA2100
        command.Transaction = transaction;
        return (long)command.ExecuteScalar()!;
    }

    private static Diagnostic Problem(string message, string mend) =>
        new(Severity.Error, null, message, mend);

    private static Diagnostic Explain(string path, Exception problem) =>
        (problem as SqliteException)?.SqliteErrorCode switch
        {
            13 => Problem(
                $"nothing was kept: the disk of {path} is full",
                "make room on the disk, then enter it again"
            ),
            8 => Problem(
                $"nothing was kept: {path} may not be written",
                "give the right to write to the file and its folder, or name another file with --jobs"
            ),
            5 => Problem(
                $"nothing was kept: another program holds {path}",
                "close the other program, then enter it again"
            ),
            26 => Problem($"{path} is no job store", "name another file"),
            11 => Problem(
                $"{path} is damaged",
                "copy it before anything else, then try to export its jobs"
            ),
            _ => Problem(
                $"{path} cannot be used: {problem.Message}",
                "name another file with --jobs"
            ),
        };
}
