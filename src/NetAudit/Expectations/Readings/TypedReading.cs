using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>
/// Reads a reading typed as one line: <c>p1 182</c>, <c>v1.6 310 V</c>, <c>p1-k1 180</c>, <c>out 1.2 ac</c>, <c>b1 220k ohms</c>,
/// <c>V3 tap noisy</c>, each with a condition after <c>@</c> when there is one: <c>p1 12 @ standby</c>.
/// </summary>
public static class TypedReading
{
    private static readonly string[] Units = ["V", "mV", "kV", "Ω", "ohm", "k", "M"];

    /// <summary>The reading, or what is wrong with the line.</summary>
    /// <param name="line">The line as typed.</param>
    /// <param name="amplifier">What the points and parts are found in.</param>
    public static ReadingsResult Read(string line, Amplifier amplifier)
    {
        ArgumentNullException.ThrowIfNull(line);
        ArgumentNullException.ThrowIfNull(amplifier);
        var diagnostics = new DiagnosticList(line);
        var builder = new ReadingBuilder(amplifier, diagnostics);
        var whole = new Cell(line, new SourceSpan("-", 1, 1, Math.Max(1, line.Length)));
        var reading = Split(whole, builder, diagnostics) is { } cells ? builder.Build(cells) : null;
        return new ReadingsResult(reading is null ? [] : [reading], diagnostics.ToImmutable());
    }

    private static ReadingCells? Split(
        Cell line,
        ReadingBuilder builder,
        DiagnosticList diagnostics
    )
    {
        var blank = line.Slice(line.Text.Length, 0);
        var condition = blank;
        var at = line.Text.LastIndexOf('@');
        if (at >= 0)
        {
            condition = line.Slice(at + 1, line.Text.Length - at - 1);
            line = line.Slice(0, at);
        }
        var words = Words(line);
        var kind = blank;
        // The first word is a place, whatever it is called.
        var kindAt = words.FindLastIndex(IsKind);
        if (kindAt > 0)
        {
            kind = words[kindAt];
            words.RemoveAt(kindAt);
        }
        if (words.Count > 2 && Units.Contains(words[^1].Text, StringComparer.Ordinal))
        {
            var number = words[^2];
            words[^2] = number with { Text = $"{number.Text} {words[^1].Text}" };
            words.RemoveAt(words.Count - 1);
        }
        if (words.Count < 2)
        {
            diagnostics.Error(
                line.Where,
                "a reading needs a point and a value",
                "write the point and the value, p1 182"
            );
            return null;
        }
        var value = words[^1];
        var start = words[0].Where.Column - line.Where.Column;
        var end = words[^2].Where.Column - line.Where.Column + words[^2].Text.Length;
        var place = line.Slice(start, end - start);
        var reference = blank;
        // p1 k1 180: two points that are no point together.
        if (words.Count == 3 && builder.Places.TryNode(place.Text) is null)
        {
            (place, reference) = (words[0], words[1]);
        }
        return new ReadingCells(place, kind, value, reference, condition, blank);
    }

    private static bool IsKind(Cell word) => ReadingBuilder.KindOf(word.Text) is not null;

    private static List<Cell> Words(Cell line)
    {
        var words = new List<Cell>();
        var start = 0;
        foreach (var word in line.Text.Split(' ', '\t'))
        {
            if (word.Length > 0)
            {
                words.Add(line.Slice(start, word.Length));
            }
            start += word.Length + 1;
        }
        return words;
    }
}
