using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Diagnosis;

/// <summary>The readings that can be weighed, by condition and kind; what cannot be weighed is said.</summary>
/// <param name="Groups">The conditions, powered normally first, each with its readings in order of kind.</param>
/// <param name="Weighed">The readings, in the order of the groups.</param>
/// <param name="Notes">What was left out and why.</param>
internal sealed record ReadingSelection(
    ImmutableArray<(Scene Scene, ImmutableArray<Row> Rows)> Groups,
    ImmutableArray<Reading> Weighed,
    ImmutableArray<string> Notes
)
{
    /// <summary>Sorts the readings.</summary>
    public static ReadingSelection Of(
        IReadOnlyList<Reading> readings,
        SceneBuilder scenes,
        Meter meter,
        CancellationToken cancellationToken
    )
    {
        var chosen = new List<(Scene Scene, Row Row, Reading Reading)>();
        var notes = ImmutableArray.CreateBuilder<string>();
        foreach (var reading in readings)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var (scene, reason) = scenes.Find(reading.Condition);
            reason ??= WhyNot(reading, scene!);
            if (reason is null)
            {
                chosen.Add((scene!, RowOf(reading, meter), reading));
            }
            else
            {
                notes.Add($"{reading.Where}: {reading.At} is left out: {reason}.");
            }
        }
        var groups = chosen
            .GroupBy(c => c.Scene)
            .OrderBy(g => g.Key != scenes.Normal)
            .Select(g => (g.Key, Readings: g.OrderBy(c => c.Row.Kind).ToArray()))
            .ToArray();
        return new(
            [.. groups.Select(g => (g.Key, g.Readings.Select(c => c.Row).ToImmutableArray()))],
            [.. groups.SelectMany(g => g.Readings.Select(c => c.Reading))],
            notes.ToImmutable()
        );
    }

    private static Row RowOf(Reading reading, Meter meter) =>
        new(reading.Kind, reading.Node, reading.RefNode, meter.LoadOhms(reading.Value));

    private static string? WhyNot(Reading reading, Scene scene) =>
        reading switch
        {
            { IsMeasured: false } => "it is no measured value",
            { Kind: not ReadingKind.Ohms } when scene.IsOff =>
                "with the power off there is nothing but resistance to measure",
            { Kind: ReadingKind.Ohms } when !scene.IsOff =>
                "resistance is measured with the power off: write the condition off",
            { Kind: not ReadingKind.Ohms } when !double.IsFinite(reading.Value) =>
                "an over-range voltage says nothing exact",
            { Kind: not ReadingKind.Dc } =>
                $"readings of kind {reading.Kind.ToString().ToLowerInvariant()} are not weighed yet",
            _ when reading.Node == reading.RefNode => "both probes are on one node",
            _ => null,
        };
}
