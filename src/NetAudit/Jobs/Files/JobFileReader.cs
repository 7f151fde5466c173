using System.Collections.Immutable;
using System.Globalization;
using System.Text.Json;
using NetAudit.Common;

namespace NetAudit.Jobs.Files;

/// <summary>Reads one JSON object of a job file; what does not fit is a <see cref="JobFormatException"/> with the key's name and place.</summary>
internal readonly struct JobFileReader
{
    private readonly JsonElement _element;

    public JobFileReader(JsonElement element)
    {
        if (element.ValueKind != JsonValueKind.Object)
        {
            throw new JobFormatException("an object was expected", element);
        }
        _element = element;
    }

    public bool Has(string key) => _element.TryGetProperty(key, out _);

    public bool IsNull(string key) =>
        !_element.TryGetProperty(key, out var value) || value.ValueKind == JsonValueKind.Null;

    public string Text(string key, int longest = JobFields.LongestText)
    {
        var text = TextOf(key);
        return text.Length <= longest
            ? text
            : throw Wrong(key, $"has more than {longest} characters");
    }

    public long Number(string key) =>
        Value(key, JsonValueKind.Number).TryGetInt64(out var number) && number >= 0
            ? number
            : throw Wrong(key, "is no whole number");

    public decimal Money(string key, decimal most) =>
        decimal.TryParse(
            Text(key, 60),
            NumberStyles.Number,
            CultureInfo.InvariantCulture,
            out var number
        )
        && Math.Abs(number) <= most
            ? number
            : throw Wrong(key, "is no amount");

    public bool Flag(string key) =>
        _element.TryGetProperty(key, out var value)
        && value.ValueKind is JsonValueKind.True or JsonValueKind.False
            ? value.GetBoolean()
            : throw Wrong(key, "is neither true nor false");

    public DateTimeOffset Time(string key)
    {
        var text = Text(key, 40);
        return DateTimeOffset.TryParse(
            text,
            CultureInfo.InvariantCulture,
            DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal,
            out var time
        )
            ? time
            : throw Wrong(key, "is no time");
    }

    public T Choice<T>(string key)
        where T : struct, Enum =>
        EnumName.Find<T>(Text(key, 60)) ?? throw Wrong(key, "is none of the values it can have");

    public JobFileReader Object(string key) => new(Value(key, JsonValueKind.Object));

    public IReadOnlyList<string> Names(int most)
    {
        var names = _element.EnumerateObject().Select(property => property.Name).ToArray();
        return names.Length <= most
            ? names
            : throw Wrong(null, $"there are more than {most} included files");
    }

    public ImmutableArray<T> Rows<T, TKey>(
        string key,
        int most,
        Func<JobFileReader, T> read,
        Func<T, TKey> unique
    )
    {
        var rows = Value(key, JsonValueKind.Array);
        if (rows.GetArrayLength() > most)
        {
            throw Wrong(key, $"has more than {most} rows");
        }
        var found = rows.EnumerateArray()
            .Select(row => read(new JobFileReader(row)))
            .ToImmutableArray();
        return found.DistinctBy(unique).Count() == found.Length
            ? found
            : throw Wrong(key, "has the same row twice");
    }

    private string TextOf(string key)
    {
        try
        {
            return Value(key, JsonValueKind.String).GetString()!;
        }
        catch (InvalidOperationException)
        {
            throw Wrong(key, "holds half a character: an escape of a pair without the other");
        }
    }

    /// <summary>What is wrong with the value of a key, or with the object when it lacks the key or none is named.</summary>
    private JobFormatException Wrong(string? key, string message) =>
        key is null ? new(message, _element)
        : _element.TryGetProperty(key, out var value) ? new($"\"{key}\" {message}", value)
        : new($"\"{key}\" {message}", _element);

    private JsonElement Value(string key, JsonValueKind kind) =>
        _element.TryGetProperty(key, out var value) && value.ValueKind == kind
            ? value
            : throw Wrong(key, "is missing or of another kind");
}
