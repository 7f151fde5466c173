using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis.Observations;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Diagnosis;

/// <summary>The readings that can be weighed, by condition and kind; what cannot be weighed is said.</summary>
/// <param name="Groups">The conditions, powered normally first, each with its readings in order of kind.</param>
/// <param name="Weighed">The readings, in the order of the groups.</param>
/// <param name="Observed">Observations that speak of parts, not of levels.</param>
/// <param name="LeftOut">What was left out and why.</param>
internal sealed record ReadingSelection(
    ImmutableArray<(Scene Scene, ImmutableArray<Row> Rows)> Groups,
    ImmutableArray<WeighedReading> Weighed,
    ImmutableArray<Reading> Observed,
    ImmutableArray<LeftOutReading> LeftOut
)
{
    /// <summary>What was left out and why, in words.</summary>
    public IEnumerable<string> Notes =>
        LeftOut.Select(left =>
        {
            var words = $"{ReadingWords.Place(left.Reading)} is left out: {left.Reason}.";
            // A reading that was typed has no line to be found at.
            return left.Reading.Where.File is null or "-"
                ? words
                : $"{left.Reading.Where}: {words}";
        });

    /// <summary>Sorts the readings.</summary>
    public static ReadingSelection Of(
        IEnumerable<Reading> readings,
        HealthyUnit healthy,
        CancellationToken cancellationToken
    )
    {
        var chosen = new List<(Scene Scene, WeighedReading Reading)>();
        var observed = ImmutableArray.CreateBuilder<Reading>();
        var leftOut = ImmutableArray.CreateBuilder<LeftOutReading>();
        foreach (var reading in readings)
        {
            if (!reading.IsMeasured && SpeaksOfPart(reading))
            {
                observed.Add(reading);
                continue;
            }
            var (scene, reason) = healthy.Scenes.Find(ConditionOf(reading));
            if (scene is not null && healthy.VoltsIn(scene, cancellationToken) is null)
            {
                reason =
                    "in that condition the circuit as drawn has no operating point that could be found";
            }
            reason ??=
                WhyNot(reading, scene!, healthy.Amplifier)
                ?? WhyClipped(reading, scene!, healthy, cancellationToken);
            var weighed =
                reason is not null ? null
                : reading.IsMeasured ? Measured(reading, scene!, healthy, cancellationToken)
                : Heard(reading, scene!, healthy, cancellationToken, out reason);
            if (weighed is { } found)
            {
                chosen.Add((scene!, found));
            }
            else
            {
                leftOut.Add(new(reading, reason!));
            }
        }
        var groups = chosen
            .GroupBy(c => c.Scene)
            .OrderBy(g => g.Key != healthy.Scenes.Normal)
            .Select(g =>
                (g.Key, Readings: g.Select(c => c.Reading).OrderBy(r => r.Row.Kind).ToArray())
            )
            .ToArray();
        return new(
            groups.Length == 0
                ? [(healthy.Scenes.Normal, [])]
                :
                [
                    .. groups.Select(g =>
                        (g.Key, g.Readings.Select(r => r.Row).ToImmutableArray())
                    ),
                ],
            [.. groups.SelectMany(g => g.Readings)],
            observed.ToImmutable(),
            leftOut.ToImmutable()
        );
    }

    private static bool SpeaksOfPart(Reading reading) =>
        reading.Kind is ReadingKind.Wiggle or ReadingKind.Look
        || (reading.Kind == ReadingKind.Tap && reading.Part is not null)
        || HeardLevels.ComplaintOf(reading) is not null;

    /// <summary>A tap at a node feeds a signal into it.</summary>
    private static Condition ConditionOf(Reading reading) =>
        reading is { Kind: ReadingKind.Tap, Node: > 0 }
        && !reading.Condition.Terms.Any(t => t is SignalInjected)
            ? Condition.Of(
                reading.Condition.Terms.Add(new SignalInjected(reading.At, reading.Node))
            )
            : reading.Condition;

    private static WeighedReading? Measured(
        Reading reading,
        Scene scene,
        HealthyUnit healthy,
        CancellationToken cancellationToken
    )
    {
        var row = Row.Of(
            healthy.Meter,
            reading.Kind,
            reading.Node,
            reading.RefNode,
            double.IsFinite(reading.Value) ? reading.Value : 0
        );
        if (row.Kind == ReadingKind.Ac)
        {
            row = healthy.ToScale(scene, [row], cancellationToken)[0];
        }
        return new(
            reading,
            row,
            RowScale.Of(row, reading.Value),
            healthy.Meter.OwnSigma(row, reading.Value)
        );
    }

    private static WeighedReading? Heard(
        Reading reading,
        Scene scene,
        HealthyUnit healthy,
        CancellationToken cancellationToken,
        out string? reason
    )
    {
        var at = reading is { Kind: ReadingKind.Listen, Node: > 0 }
            ? reading.Node
            : healthy.Loudspeaker;
        if (at < 0)
        {
            reason = "the sheet names no loudspeaker or dummy load among its fixtures";
            return null;
        }
        if (scene.Signal is null)
        {
            reason = "there is no test signal to be heard";
            return null;
        }
        var level = healthy.LevelIn(scene, at, cancellationToken);
        if (!(level > RowScale.NoiseFloor))
        {
            reason = "nothing would be heard of a healthy unit either";
            return null;
        }
        if (HeardLevels.Of(reading.Word!, level) is not var (floor, place, sigma))
        {
            reason = $"\"{reading.Word}\" says nothing of a level";
            return null;
        }
        reason = null;
        return new(reading, Row.Heard(at, floor), place, sigma);
    }

    // What a clipping unit shows is nothing that small signals predict, and no fault's effect on it either.
    private static string? WhyClipped(
        Reading reading,
        Scene scene,
        HealthyUnit healthy,
        CancellationToken cancellationToken
    )
    {
        if (
            reading.Kind != ReadingKind.Ac
            || healthy.DrivenIn(scene, cancellationToken) is not { } driven
        )
        {
            return null;
        }
        var node = driven.Differs(reading.Node) ? reading.Node : reading.RefNode;
        if (!driven.Differs(node))
        {
            return null;
        }
        var what =
            !driven.IsSettled ? "finds no steady state"
            : driven.IsClipping ? "clips"
            : "distorts";
        var levels =
            $"at {EngineeringNotation.Format(driven.Volts, "V")} of test signal a healthy unit {what} and has {EngineeringNotation.Format(driven.DrivenAt(node), "V", 3)} there, where small signals would give {EngineeringNotation.Format(driven.SmallAt(node), "V", 3)}";
        return driven.IsClipping ? $"{levels}; {driven.Advice(cancellationToken)}" : levels;
    }

    private static string? WhyNot(Reading reading, Scene scene, Amplifier amplifier) =>
        reading switch
        {
            { Kind: not ReadingKind.Ohms } when scene.IsOff =>
                "with the power off there is nothing but resistance to measure",
            { Kind: ReadingKind.Ohms } when !scene.IsOff =>
                "resistance is measured with the power off: write the condition off",
            { IsMeasured: true, Kind: not ReadingKind.Ohms } when !double.IsFinite(reading.Value) =>
                "an over-range voltage says nothing exact",
            { Kind: ReadingKind.Ac }
                when scene.Signal is null && amplifier.Sheet.Supplies.IsEmpty =>
                "there is no test signal, and no [[supply]] of the sheet that ripple could come from",
            { IsMeasured: true } when reading.Node == reading.RefNode =>
                "both probes are on one node",
            _ => null,
        };
}
