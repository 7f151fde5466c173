using System.Globalization;

namespace NetAudit.Expectations;

/// <summary>Writes readings as lines of CSV.</summary>
internal static class ReadingLine
{
    /// <summary>The reading's field of a column; empty for a column that is not the program's.</summary>
    public static string Field(Reading reading, string column) =>
        column switch
        {
            "at" => reading.At,
            "kind" => reading.Kind.Name(),
            "value" => reading.Word ?? Value(reading.Value),
            "ref" => reading.Ref ?? "",
            "condition" => reading.Condition.Text,
            "note" => reading.Note,
            _ => "",
        };

    public static string Write(Reading reading, IEnumerable<string> columns, char separator) =>
        string.Join(separator, columns.Select(column => Quote(Field(reading, column), separator)));

    public static string Quote(string field, char separator) =>
        field.Contains(separator) || field.AsSpan().IndexOfAny("\"\r\n") >= 0
            ? $"\"{field.Replace("\"", "\"\"", StringComparison.Ordinal)}\""
            : field;

    private static string Value(double value) =>
        double.IsPositiveInfinity(value) ? "OL" : value.ToString("R", CultureInfo.InvariantCulture);
}
