using System.Text.Json;

namespace NetAudit.Common;

/// <summary>Diagnostics as JSON: an array of objects with file, line, column, severity, message and mend.</summary>
public static class DiagnosticJson
{
    /// <summary>The diagnostics as a JSON text. What is not known (a place, a mend) is null.</summary>
    public static string ToText(IEnumerable<Diagnostic> diagnostics) =>
        JsonDocumentText.Of(json =>
        {
            json.WriteStartArray();
            foreach (var diagnostic in diagnostics)
            {
                Write(json, diagnostic);
            }
            json.WriteEndArray();
        });

    /// <summary>One diagnostic as an object.</summary>
    internal static void Write(Utf8JsonWriter json, Diagnostic diagnostic)
    {
        json.WriteStartObject();
        json.WriteString("file", diagnostic.Where?.File);
        json.WriteFinite("line", diagnostic.Where?.Line);
        json.WriteFinite("column", diagnostic.Where?.Column);
        json.WriteString("severity", diagnostic.Severity.Word());
        json.WriteString("message", diagnostic.Message);
        json.WriteString("mend", diagnostic.Mend);
        json.WriteEndObject();
    }
}
