using System.Collections.Immutable;
using System.Text;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>What a readings file gave.</summary>
/// <param name="Readings">The readings that are sound, in file order; of a file with errors those that are.</param>
/// <param name="Diagnostics">Everything found wrong.</param>
public sealed record ReadingsResult(
    ImmutableArray<Reading> Readings,
    ImmutableArray<Diagnostic> Diagnostics
)
{
    /// <summary>True when the file cannot be used as it is.</summary>
    public bool HasErrors => Diagnostics.Any(found => found.Severity == Severity.Error);
}

/// <summary>Reads readings files: CSV as spreadsheets write it. Bad input never throws. Thread-safe.</summary>
public static class ReadingsFile
{
    /// <summary>Reads a file.</summary>
    public static ReadingsResult Read(string path, Amplifier amplifier)
    {
        try
        {
            return ReadText(InputFile.ReadText(path), path, amplifier);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            var message = $"the readings {path} cannot be read: {problem.Message}";
            return new ReadingsResult([], [new Diagnostic(Severity.Error, null, message)]);
        }
    }

    /// <summary>Reads text. Lines without a value are readings not yet taken and are passed over.</summary>
    /// <param name="text">The text; a byte order mark, any line ends and commas, semicolons or tabs between fields are taken.</param>
    /// <param name="fileName">Name for diagnostics.</param>
    /// <param name="amplifier">What the points and parts are found in.</param>
    public static ReadingsResult ReadText(string text, string fileName, Amplifier amplifier)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(amplifier);
        text = text.TrimStart('\uFEFF');
        var diagnostics = new DiagnosticList(text);
        var readings = ImmutableArray.CreateBuilder<Reading>();
        using var csv = new CsvCells(text, fileName, diagnostics.Lines);
        if (csv.Next(diagnostics) is not { Count: > 0 } first)
        {
            if (!diagnostics.HasErrors)
            {
                diagnostics.Error(
                    new SourceSpan(fileName, 1, 1),
                    "the readings file is empty",
                    $"begin it with the line {string.Join(',', ReadingsHeader.Names)}"
                );
            }
            return new ReadingsResult([], diagnostics.ToImmutable());
        }
        if (ReadingsHeader.Read(first, diagnostics) is not { } header)
        {
            return new ReadingsResult([], diagnostics.ToImmutable());
        }
        var builder = new ReadingBuilder(amplifier, diagnostics);
        while (csv.Next(diagnostics) is { } line)
        {
            if (line.Count == 0 || header.Of(line, "value").IsBlank)
            {
                continue;
            }
            if (IsSplitByComma(line, header, csv.Separator, diagnostics))
            {
                continue;
            }
            var cells = new ReadingCells(
                header.Of(line, "at"),
                header.Of(line, "kind"),
                header.Of(line, "value"),
                header.Of(line, "ref"),
                header.Of(line, "condition"),
                header.Of(line, "note")
            );
            if (builder.Build(cells) is { } reading)
            {
                readings.Add(reading);
            }
        }
        return new ReadingsResult(readings.ToImmutable(), diagnostics.ToImmutable());
    }

    /// <summary>A readings file ready to fill in, by stage along the signal path.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="expectation">The readings to take, which the notes give as expected; null for volts DC at every point.</param>
    public static string Empty(Amplifier amplifier, Expectation? expectation = null)
    {
        ArgumentNullException.ThrowIfNull(amplifier);
        var text = new StringBuilder();
        text.Append(string.Join(',', ReadingsHeader.Names)).Append('\n');
        var readings =
            expectation?.Readings
            ?? [.. amplifier.Points.Select(p => new ExpectedReading(p, double.NaN, double.NaN))];
        foreach (var reading in InOrder(amplifier, readings))
        {
            var at = reading.At(amplifier);
            string[] notes =
            [
                .. reading.Across is not null || reading.Point.Name == at
                    ? Array.Empty<string>()
                    : [reading.Point.Name],
                .. double.IsNaN(reading.Mean) ? Array.Empty<string>() : [InWords(reading)],
            ];
            string[] fields =
            [
                at,
                reading.Kind.Name(),
                "",
                "",
                reading.Condition.Text,
                string.Join("; ", notes),
            ];
            text.Append(string.Join(',', fields.Select(f => ReadingLine.Quote(f, ','))))
                .Append('\n');
        }
        return text.ToString();
    }

    // Parts first, then the points in the order in which their stage has them; what two stages share once.
    private static IEnumerable<ExpectedReading> InOrder(
        Amplifier amplifier,
        ImmutableArray<ExpectedReading> readings
    )
    {
        var nodes = amplifier.Stages.SelectMany(stage => stage.Nodes).Distinct().ToArray();
        return StagePoints
            .Group(amplifier, readings)
            .SelectMany(group =>
                group.Readings.OrderBy(r =>
                    r.Across is null ? Array.IndexOf(nodes, r.Point.Node) : -1
                )
            )
            .DistinctBy(r => (r.Across, r.Point.Node, r.RefNode));
    }

    private static string InWords(ExpectedReading reading) =>
        $"expect {ReadingWords.Value(reading.Kind, reading.Mean)} "
        + $"({ReadingWords.Bare(reading.Kind, reading.Low)} to {ReadingWords.Bare(reading.Kind, reading.High)})";

    // 182,5 in a comma separated file makes two fields of one number, and one field too many.
    private static bool IsSplitByComma(
        List<Cell> line,
        ReadingsHeader header,
        char separator,
        DiagnosticList diagnostics
    )
    {
        var value = header.Columns.IndexOf("value");
        if (
            separator != ','
            || line.Count <= header.Columns.Length
            || !line[value].Text.All(c => char.IsAsciiDigit(c) || c is '-' or '+')
            || !line[value + 1].Text.StartsWithDigit()
        )
        {
            return false;
        }
        diagnostics.Error(
            line[value].Where,
            "this line has a field too many: the value seems to be written with a decimal comma",
            $"write {line[value].Text}.{line[value + 1].Text}, with a decimal point"
        );
        return true;
    }

    private static bool StartsWithDigit(this string text) =>
        text.Length > 0 && char.IsAsciiDigit(text[0]);
}
