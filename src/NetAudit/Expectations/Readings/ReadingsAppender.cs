using System.Text;
using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>What became of a reading that was to be kept.</summary>
/// <param name="LengthBefore">Length of the file in bytes before the reading was added, for <see cref="ReadingsAppender.Undo"/>.</param>
/// <param name="Problem">Why it was not kept; null when it was.</param>
public sealed record AppendResult(long LengthBefore, Diagnostic? Problem);

/// <summary>Keeps readings: each is on the disk before the call returns.</summary>
public static class ReadingsAppender
{
    /// <summary>
    /// Adds a reading to the end of a file, in the file's own columns and separator. A file that is missing or empty is begun with the
    /// usual header. A failure to write is a value, never an exception.
    /// </summary>
    public static AppendResult Append(string path, Reading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        try
        {
            using var file = new FileStream(
                path,
                FileMode.OpenOrCreate,
                FileAccess.ReadWrite,
                FileShare.Read
            );
            var before = file.Length;
            var bytes = new byte[before];
            file.ReadExactly(bytes);
            var text = new UTF8Encoding(false).GetString(bytes).TrimStart('\uFEFF');
            var lines = new StringBuilder();
            var columns = ReadingsHeader.Names;
            var separator = ',';
            if (string.IsNullOrWhiteSpace(text))
            {
                lines.Append(string.Join(',', columns)).Append('\n');
            }
            else
            {
                var diagnostics = new DiagnosticList(text);
                using var csv = new CsvCells(text, path, diagnostics.Lines);
                if (
                    csv.Next(diagnostics) is not { Count: > 0 } first
                    || ReadingsHeader.Read(first, diagnostics) is not { } header
                )
                {
                    return new AppendResult(before, diagnostics.ToImmutable()[0]);
                }
                if (Missing(header, reading) is { } column)
                {
                    return new AppendResult(before, NoColumn(path, column));
                }
                columns = header.Columns;
                separator = csv.Separator;
                lines.Append(text.EndsWith('\n') ? "" : "\n");
            }
            lines.Append(ReadingLine.Write(reading, columns, separator)).Append('\n');
            file.Write(Encoding.UTF8.GetBytes(lines.ToString()));
            file.Flush(flushToDisk: true);
            return new AppendResult(before, null);
        }
        catch (Exception problem)
            when (problem is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            var message = $"the reading could not be written to {path}: {problem.Message}";
            return new AppendResult(0, new Diagnostic(Severity.Error, null, message));
        }
    }

    /// <summary>Takes the last reading back: cuts the file to the length it had before.</summary>
    /// <returns>Why that could not be done, or null.</returns>
    public static Diagnostic? Undo(string path, AppendResult appended)
    {
        ArgumentNullException.ThrowIfNull(appended);
        try
        {
            using var file = new FileStream(path, FileMode.Open, FileAccess.Write, FileShare.Read);
            file.SetLength(Math.Min(appended.LengthBefore, file.Length));
            file.Flush(flushToDisk: true);
            return null;
        }
        catch (Exception problem)
            when (problem is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            var message = $"the reading could not be taken out of {path}: {problem.Message}";
            return new Diagnostic(Severity.Error, null, message);
        }
    }

    // A column that the file lacks and the reading needs would be lost without a word.
    private static string? Missing(ReadingsHeader header, Reading reading) =>
        ReadingsHeader.Names.FirstOrDefault(name =>
            !header.Columns.Contains(name)
            && ReadingLine.Field(reading, name).Length > 0
            && !(name == "kind" && reading.Kind == ReadingKind.Dc)
        );

    private static Diagnostic NoColumn(string path, string column) =>
        new(
            Severity.Error,
            new SourceSpan(path, 1, 1),
            $"the file has no column \"{column}\", which this reading needs",
            $"add {column} to the header"
        );
}
