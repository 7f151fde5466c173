using System.Collections.Immutable;
using NetAudit.Bench.Sessions;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Bench.Entry;

/// <summary>A line of the table: a reading beside what is expected, or a point not yet read.</summary>
/// <param name="At">Name of the place.</param>
/// <param name="Kept">The reading as kept; null for a point not yet read.</param>
/// <param name="Reading">The reading; null likewise.</param>
/// <param name="Expected">What a healthy unit shows, or null.</param>
/// <param name="State">What the answer makes of it, or null when it was not weighed.</param>
public sealed record ReadingRow(
    string At,
    JobReading? Kept,
    Reading? Reading,
    ExpectedReading? Expected,
    ReadingState? State
)
{
    /// <summary>Deviation in standard deviations, or null.</summary>
    public double? Deviation =>
        State?.Deviation
        ?? (
            Reading is { } reading && Expected is { } expected && double.IsFinite(reading.Value)
                ? expected.Deviation(reading.Value)
                : null
        );

    /// <summary>Mean, lower and upper limit, or null.</summary>
    public (double Mean, double Low, double High)? Limits =>
        State is { } state ? (state.Expected, state.Low, state.High)
        : Expected is { } expected ? (expected.Mean, expected.Low, expected.High)
        : null;

    /// <summary>Side of the limits, empty when nothing is known.</summary>
    public string Side =>
        Reading is { } reading && Limits is var (_, low, high)
            ? reading.Value < low
                ? "low"
                : reading.Value > high
                    ? "high"
                    : "within"
            : "";

    /// <summary>The rows of a tab: readings in the order taken, then, when asked for, points not yet read.</summary>
    public static ImmutableArray<ReadingRow> Of(BenchTab tab, bool withUnread)
    {
        var circuit = tab.Session.Circuit!;
        // The answer may be a little older than the readings: its states are found by the number they were kept under.
        var states = (tab.Session.Answer(tab.Phase).Result?.Readings ?? [])
            .GroupBy(state => state.Reading.Where.Line)
            .ToDictionary(group => group.Key, group => group.Last());
        var readings = tab.Session.Readings(tab.Phase);
        var rows = readings.Select(pair => new ReadingRow(
            pair.Kept.Ref.Length > 0 ? $"{pair.Kept.At} to {pair.Kept.Ref}" : pair.Kept.At,
            pair.Kept,
            pair.Reading,
            circuit.For(pair.Reading),
            states.GetValueOrDefault((int)pair.Kept.Number)
        ));
        if (!withUnread)
        {
            return [.. rows];
        }
        var read = readings
            .Where(pair => IsPlain(pair.Reading))
            .Select(pair => pair.Reading.Node)
            .ToHashSet();
        var unread = circuit
            .Order.Where(point => !read.Contains(point.Point.Node))
            .Select(point => new ReadingRow(
                point.Point.ShortName(circuit.Amplifier!),
                null,
                null,
                point,
                null
            ));
        return [.. rows, .. unread];
    }

    /// <summary>True for volts DC of a point of a unit that is powered normally.</summary>
    public bool IsAt(int node) =>
        Reading is { } reading && reading.Node == node && IsPlain(reading);

    private static bool IsPlain(Reading reading) =>
        reading is { Kind: ReadingKind.Dc, RefNode: 0 } && reading.Condition == Condition.Normal;
}
