using CsvHelper;
using Xunit;

namespace NetAudit.Tests;

/// <summary>Rows of a CSV file below Data, as fields by column name; lines that begin with # are comments.</summary>
internal static class TestTable
{
    public static List<Dictionary<string, string>> Read(string name)
    {
        using var stream =
            typeof(TestTable).Assembly.GetManifestResourceStream("Data/" + name)
            ?? throw new InvalidOperationException($"No test data {name}.");
        using var text = new StreamReader(stream);
        var options = new CsvReaderOptions { Separator = ',', CommentPrefix = '#' };
        using var csv = CsvReader.Create(text, options);
        var rows = new List<Dictionary<string, string>>();
        while (csv.Read())
        {
            rows.Add(
                csv.Headers.Select((header, index) => (header, csv.GetString(index)))
                    .ToDictionary(pair => pair.header, pair => pair.Item2)
            );
        }
        return rows;
    }

    public static TheoryData<string, string> Columns(string name, string first, string second)
    {
        var data = new TheoryData<string, string>();
        foreach (var row in Read(name))
        {
            data.Add(row[first], row[second]);
        }
        return data;
    }
}
