using System.Collections.Immutable;
using System.Text;
using System.Text.Json;
using NetAudit.Common;
using NetAudit.Jobs.Files;

namespace NetAudit.Jobs;

/// <summary>
/// Reads a job file written by <see cref="JobExport"/>, here or elsewhere. A file from elsewhere is only text: it runs nothing and reads
/// no file, and its size, depth and counts are bounded. Bad input never throws.
/// </summary>
public static class JobImport
{
    /// <summary>Largest file, in bytes.</summary>
    public const int MostBytes = 16_000_000;

    /// <summary>Most readings, steps, prices, checks or cautions each.</summary>
    public const int MostRows = 20_000;

    private const int Deepest = 8;

    /// <summary>Reads a file's bytes.</summary>
    /// <param name="bytes">The file, UTF-8.</param>
    /// <param name="name">Name for diagnostics.</param>
    public static (Job? Job, ImmutableArray<Diagnostic> Problems) Read(
        ReadOnlyMemory<byte> bytes,
        string name
    )
    {
        if (bytes.Length > MostBytes)
        {
            return Refuse(
                new(name, 1, 1),
                $"the file has {bytes.Length} bytes, more than {MostBytes}"
            );
        }
        var places = new JobFilePlaces(bytes, name);
        try
        {
            // Checked first: the JSON reader would put a mark in the place of bytes that are no text.
            new UTF8Encoding(false, true).GetCharCount(bytes.Span);
            using var document = JsonDocument.Parse(
                bytes,
                new JsonDocumentOptions { MaxDepth = Deepest, AllowDuplicateProperties = false }
            );
            return Read(document.RootElement, places);
        }
        catch (JsonException problem)
        {
            return Refuse(
                places.Of(problem),
                $"the file is no job file: {FirstSentence(problem.Message)}"
            );
        }
        catch (DecoderFallbackException problem)
        {
            return Refuse(places.At(problem.Index), "the file is not UTF-8 text");
        }
        catch (InvalidOperationException)
        {
            return Refuse(new(name, 1, 1), "the file is no job file: a key holds half a character");
        }
    }

    private static (Job?, ImmutableArray<Diagnostic>) Read(JsonElement root, JobFilePlaces places)
    {
        try
        {
            return (Job(root), []);
        }
        catch (JobFormatException problem)
        {
            return Refuse(places.Of(problem.Value), $"the file is no job file: {problem.Message}");
        }
    }

    private static Job Job(JsonElement root)
    {
        var file = new JobFileReader(root);
        if (file.Text("format", 40) != JobExport.Format)
        {
            throw new JobFormatException(
                $"it does not say \"format\": \"{JobExport.Format}\"",
                root
            );
        }
        var version = file.Number("version");
        if (version is < 1 or > JobExport.Version)
        {
            throw new JobFormatException(
                $"it has version {version}; this program reads up to {JobExport.Version}",
                root
            );
        }
        return new Job
        {
            Number = file.Number("number"),
            Opened = file.Time("opened"),
            Changed = file.Time("changed"),
            State = file.Choice<JobState>("state"),
            Fields = Fields(file.Object("fields")),
            Checks = file.Rows(
                "checks",
                MostRows,
                row => new CheckAnswer(
                    row.Text("check", FirstChecks.LongestAnswer),
                    row.Text("answer", FirstChecks.LongestAnswer),
                    row.Text("note"),
                    row.Time("time")
                ),
                row => row.Check
            ),
            Readings = file.Rows("readings", MostRows, Reading, row => row.Number),
            Steps = file.Rows(
                "steps",
                MostRows,
                row => new WorkStep(
                    row.Number("number"),
                    row.Choice<StepKind>("kind"),
                    row.Text("part"),
                    row.Text("text"),
                    row.Text("part_used"),
                    row.Time("time")
                ),
                row => row.Number
            ),
            Prices = file.Rows(
                "prices",
                MostRows,
                row => new PriceLine(
                    row.Number("number"),
                    row.Text("text"),
                    row.Flag("labour"),
                    row.Money("quantity", 1_000_000),
                    row.Money("unit_price", 1_000_000_000)
                ),
                row => row.Number
            ),
            Cautions = file.Rows(
                "cautions",
                MostRows,
                row => new Acknowledgement(row.Text("text"), row.Time("time")),
                row => row.Text
            ),
            Circuit = file.IsNull("circuit") ? null : Circuit(file.Object("circuit")),
        };
    }

    private static JobReading Reading(JobFileReader row) =>
        new(
            row.Number("number"),
            row.Choice<ReadingPhase>("phase"),
            row.Text("at"),
            row.Text("kind"),
            row.Text("value"),
            row.Text("ref"),
            row.Text("condition"),
            row.Text("note"),
            row.Time("time"),
            row.Flag("taken_back")
        );

    private static ImmutableSortedDictionary<JobField, string> Fields(JobFileReader fields)
    {
        var found = ImmutableSortedDictionary.CreateBuilder<JobField, string>();
        foreach (var field in JobFields.All)
        {
            if (fields.Has(field.Name()))
            {
                found[field] = fields.Text(field.Name());
            }
        }
        return found.ToImmutable();
    }

    private static CircuitSource Circuit(JobFileReader circuit)
    {
        var includes = circuit.Object("includes");
        return new CircuitSource(
            FileName(circuit.Text("name", 260)),
            circuit.Text("netlist", CircuitSource.LongestText),
            circuit.IsNull("sheet") ? null : circuit.Text("sheet", CircuitSource.LongestText),
            includes
                .Names(CircuitSource.MostIncludes)
                .ToImmutableSortedDictionary(
                    name => name,
                    name => includes.Text(name, CircuitSource.LongestText),
                    StringComparer.Ordinal
                )
        );
    }

    // A name, never a path: it is only shown, and offered when the circuit is written out again.
    private static string FileName(string name) =>
        name[(name.LastIndexOfAny(['/', '\\', ':']) + 1)..] is { Length: > 0 } last
            ? last
            : "circuit.cir";

    private static string FirstSentence(string message)
    {
        var end = message.IndexOf(" LineNumber", StringComparison.Ordinal);
        return (end < 0 ? message : message[..end]).TrimEnd('.', ' ');
    }

    private static (Job?, ImmutableArray<Diagnostic>) Refuse(SourceSpan where, string message) =>
        (
            null,
            [
                new Diagnostic(
                    Severity.Error,
                    where,
                    message,
                    "use a file that netaudit jobs export wrote"
                ),
            ]
        );
}
