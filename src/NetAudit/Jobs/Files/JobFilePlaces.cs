using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;
using NetAudit.Common;

namespace NetAudit.Jobs.Files;

/// <summary>Places in a job file's bytes, as an editor counts them.</summary>
internal sealed class JobFilePlaces(ReadOnlyMemory<byte> bytes, string file)
{
    /// <summary>Where a value stands; the value's document was read from these bytes.</summary>
    public SourceSpan Of(JsonElement value) =>
        bytes.Span.Overlaps(JsonMarshal.GetRawUtf8Value(value), out var offset)
            ? At(offset)
            : new(file, 1, 1);

    /// <summary>Where the JSON reader stopped: it counts lines from 0 by line feeds, and bytes.</summary>
    public SourceSpan Of(JsonException problem)
    {
        var offset = 0;
        for (var line = problem.LineNumber ?? 0; line > 0; line--)
        {
            offset += bytes.Span[offset..].IndexOf((byte)'\n') + 1;
        }
        return At(offset + (int)(problem.BytePositionInLine ?? 0));
    }

    /// <summary>The place of a byte.</summary>
    public SourceSpan At(int offset)
    {
        var before = Encoding.UTF8.GetString(bytes.Span[..Math.Min(offset, bytes.Length)]);
        return new SourceLines(before).SpanAt(file, before.Length, 1);
    }
}
