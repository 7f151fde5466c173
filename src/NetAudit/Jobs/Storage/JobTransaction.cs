using System.Globalization;
using Microsoft.Data.Sqlite;

namespace NetAudit.Jobs.Storage;

/// <summary>Statements within one transaction. Values are always parameters, never text of the statement.</summary>
internal sealed class JobTransaction(SqliteConnection connection, SqliteTransaction transaction)
{
    /// <summary>Runs a statement; gives the rows it changed.</summary>
    public int Run(string statement, params ReadOnlySpan<(string Name, object? Value)> values)
    {
        using var command = Command(statement, values);
        return command.ExecuteNonQuery();
    }

    /// <summary>The first field of the first row, or null.</summary>
    public object? Scalar(string question, params ReadOnlySpan<(string Name, object? Value)> values)
    {
        using var command = Command(question, values);
        return command.ExecuteScalar() is { } found and not DBNull ? found : null;
    }

    /// <summary>Every row.</summary>
    public List<T> Rows<T>(
        string question,
        Func<SqliteDataReader, T> row,
        params ReadOnlySpan<(string Name, object? Value)> values
    )
    {
        using var command = Command(question, values);
        using var reader = command.ExecuteReader();
        var rows = new List<T>();
        while (reader.Read())
        {
            rows.Add(row(reader));
        }
        return rows;
    }

    /// <summary>The next number of a numbered row of a job.</summary>
    public long Next(string table, long job) =>
        (long)
            Scalar(
                $"SELECT coalesce(max(number), 0) + 1 FROM {table} WHERE job = $job",
                ("$job", job)
            )!;

    private SqliteCommand Command(
        string statement,
        ReadOnlySpan<(string Name, object? Value)> values
    )
    {
        var command = connection.CreateCommand();
        // Statements are constants of this program; table names among them too.
#pragma warning disable CA2100
        command.CommandText = statement;
#pragma warning restore CA2100
        command.Transaction = transaction;
        foreach (var (name, value) in values)
        {
            command.Parameters.AddWithValue(name, value ?? DBNull.Value);
        }
        return command;
    }
}

/// <summary>Times as text that sorts.</summary>
internal static class JobTime
{
    private const string Format = "yyyy-MM-dd'T'HH:mm:ss.fff'Z'";

    public static string Write(DateTimeOffset time) =>
        time.UtcDateTime.ToString(Format, CultureInfo.InvariantCulture);

    public static DateTimeOffset Read(string text) =>
        DateTimeOffset.Parse(
            text,
            CultureInfo.InvariantCulture,
            DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal
        );
}
