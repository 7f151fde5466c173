using System.Collections.Immutable;
using CsvHelper;

namespace NetAudit.Common;

/// <summary>Reads a data file that is built into the library: CSV with a header; lines that begin with # are comments.</summary>
internal static class EmbeddedTable
{
    /// <summary>The rows as fields by column name.</summary>
    /// <exception cref="InvalidOperationException">The library has no such file.</exception>
    public static ImmutableArray<ImmutableDictionary<string, string>> Read(string name)
    {
        using var stream =
            typeof(EmbeddedTable).Assembly.GetManifestResourceStream("Data/" + name)
            ?? throw new InvalidOperationException($"The library holds no data file {name}.");
        using var text = new StreamReader(stream);
        var options = new CsvReaderOptions { Separator = ',', CommentPrefix = '#' };
        using var csv = CsvReader.Create(text, options);
        var rows = ImmutableArray.CreateBuilder<ImmutableDictionary<string, string>>();
        while (csv.Read())
        {
            rows.Add(
                csv.Headers.Select((header, index) => (header, csv.GetString(index)))
                    .ToImmutableDictionary(pair => pair.header, pair => pair.Item2)
            );
        }
        return rows.ToImmutable();
    }
}
