using System.Globalization;
using System.Text.Json;
using NetAudit.Common;
using NetAudit.Jobs.Storage;

namespace NetAudit.Jobs;

/// <summary>Writes a job as one JSON file that holds everything, the circuit included.</summary>
public static class JobExport
{
    /// <summary>What the file says it is.</summary>
    public const string Format = "netaudit-job";

    /// <summary>Version of the form.</summary>
    public const int Version = 1;

    /// <summary>The file's text.</summary>
    public static string ToText(Job job) =>
        JsonDocumentText.Of(json =>
        {
            json.WriteStartObject();
            json.WriteString("format", Format);
            json.WriteNumber("version", Version);
            json.WriteNumber("number", job.Number);
            json.WriteString("opened", JobTime.Write(job.Opened));
            json.WriteString("changed", JobTime.Write(job.Changed));
            json.WriteString("state", job.State.Name());
            json.WriteStartObject("fields");
            foreach (var (field, text) in job.Fields)
            {
                json.WriteString(field.Name(), text);
            }
            json.WriteEndObject();
            Write(json, "checks", job.Checks, WriteCheck);
            Write(json, "readings", job.Readings, WriteReading);
            Write(json, "steps", job.Steps, WriteStep);
            Write(json, "prices", job.Prices, WritePrice);
            Write(json, "cautions", job.Cautions, WriteCaution);
            WriteCircuit(json, job.Circuit);
            json.WriteEndObject();
        }) + "\n";

    private static void Write<T>(
        Utf8JsonWriter json,
        string name,
        IEnumerable<T> items,
        Action<Utf8JsonWriter, T> write
    )
    {
        json.WriteStartArray(name);
        foreach (var item in items)
        {
            json.WriteStartObject();
            write(json, item);
            json.WriteEndObject();
        }
        json.WriteEndArray();
    }

    private static void WriteCheck(Utf8JsonWriter json, CheckAnswer answer)
    {
        json.WriteString("check", answer.Check);
        json.WriteString("answer", answer.Answer);
        json.WriteString("note", answer.Note);
        json.WriteString("time", JobTime.Write(answer.At));
    }

    private static void WriteReading(Utf8JsonWriter json, JobReading reading)
    {
        json.WriteNumber("number", reading.Number);
        json.WriteString("phase", reading.Phase.Name());
        json.WriteString("at", reading.At);
        json.WriteString("kind", reading.Kind);
        json.WriteString("value", reading.Value);
        json.WriteString("ref", reading.Ref);
        json.WriteString("condition", reading.Condition);
        json.WriteString("note", reading.Note);
        json.WriteString("time", JobTime.Write(reading.Taken));
        json.WriteBoolean("taken_back", reading.TakenBack);
    }

    private static void WriteStep(Utf8JsonWriter json, WorkStep step)
    {
        json.WriteNumber("number", step.Number);
        json.WriteString("kind", step.Kind.Name());
        json.WriteString("part", step.Part);
        json.WriteString("text", step.Text);
        json.WriteString("part_used", step.PartUsed);
        json.WriteString("time", JobTime.Write(step.At));
    }

    private static void WritePrice(Utf8JsonWriter json, PriceLine price)
    {
        json.WriteNumber("number", price.Number);
        json.WriteString("text", price.Text);
        json.WriteBoolean("labour", price.IsLabour);
        json.WriteString("quantity", price.Quantity.ToString(CultureInfo.InvariantCulture));
        json.WriteString("unit_price", price.UnitPrice.ToString(CultureInfo.InvariantCulture));
    }

    private static void WriteCaution(Utf8JsonWriter json, Acknowledgement caution)
    {
        json.WriteString("text", caution.Text);
        json.WriteString("time", JobTime.Write(caution.At));
    }

    private static void WriteCircuit(Utf8JsonWriter json, CircuitSource? circuit)
    {
        if (circuit is null)
        {
            json.WriteNull("circuit");
            return;
        }
        json.WriteStartObject("circuit");
        json.WriteString("name", circuit.Name);
        json.WriteString("netlist", circuit.Netlist);
        json.WriteString("sheet", circuit.Sheet);
        json.WriteStartObject("includes");
        foreach (var (name, content) in circuit.Includes)
        {
            json.WriteString(name, content);
        }
        json.WriteEndObject();
        json.WriteEndObject();
    }
}
