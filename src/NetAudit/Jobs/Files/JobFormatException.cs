using System.Text.Json;

namespace NetAudit.Jobs.Files;

/// <summary>A value of a job file that does not fit.</summary>
internal sealed class JobFormatException(string message, JsonElement value)
    : FormatException(message)
{
    /// <summary>The value, or the object that lacks it; good while its document is.</summary>
    public JsonElement Value { get; } = value;
}
