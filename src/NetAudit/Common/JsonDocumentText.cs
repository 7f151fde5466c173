using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace NetAudit.Common;

/// <summary>JSON as the program writes it: indented, symbols such as Ω as themselves, numbers that are not finite as null.</summary>
internal static class JsonDocumentText
{
    private static readonly JsonWriterOptions Options = new()
    {
        Indented = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        NewLine = "\n",
    };

    /// <summary>The text of what <paramref name="write"/> writes, without a final newline.</summary>
    public static string Of(Action<Utf8JsonWriter> write)
    {
        using var bytes = new MemoryStream();
        using (var json = new Utf8JsonWriter(bytes, Options))
        {
            write(json);
        }
        return Encoding.UTF8.GetString(bytes.GetBuffer(), 0, (int)bytes.Length);
    }

    /// <summary>The text of one object whose properties <paramref name="properties"/> writes.</summary>
    public static string OfObject(Action<Utf8JsonWriter> properties) =>
        Of(json =>
        {
            json.WriteStartObject();
            properties(json);
            json.WriteEndObject();
        });

    /// <summary>An array of objects; <paramref name="properties"/> writes those of one item.</summary>
    public static void WriteObjects<T>(
        this Utf8JsonWriter json,
        string name,
        IEnumerable<T> items,
        Action<T> properties
    )
    {
        json.WriteStartArray(name);
        foreach (var item in items)
        {
            json.WriteStartObject();
            properties(item);
            json.WriteEndObject();
        }
        json.WriteEndArray();
    }

    /// <summary>An array of texts.</summary>
    public static void WriteStrings(
        this Utf8JsonWriter json,
        string name,
        IEnumerable<string> texts
    )
    {
        json.WriteStartArray(name);
        foreach (var text in texts)
        {
            json.WriteStringValue(text);
        }
        json.WriteEndArray();
    }

    /// <summary>A number, or null when it is missing or not finite.</summary>
    public static void WriteFinite(this Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } number && double.IsFinite(number))
        {
            json.WriteNumber(name, number);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    /// <summary>
    /// A computed number to seven significant digits: more than any reading carries, and few enough that another processor's
    /// rounding does not change the text.
    /// </summary>
    public static void WriteRounded(this Utf8JsonWriter json, string name, double? value) =>
        json.WriteFinite(
            name,
            value is { } number && double.IsFinite(number)
                ? EngineeringNotation.RoundSignificant(number, 7)
                : null
        );
}
