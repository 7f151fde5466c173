using System.Collections.Immutable;
using System.Numerics.Tensors;
using NetAudit.Circuits;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>The expected readings of a healthy unit, or the reason why there are none.</summary>
/// <param name="Readings">
/// Of volts one for each point, in the order of <see cref="Amplifier.Points"/>; of ohms one across each part with two ends, then one for
/// each point that no part joins to chassis. Empty when there are none.
/// </param>
/// <param name="Reason">Why there are none; otherwise null.</param>
public sealed record Expectation(ImmutableArray<ExpectedReading> Readings, string? Reason)
{
    /// <summary>Predicts volts DC at every point of an amplifier, powered normally.</summary>
    /// <remarks>To first order: mean at nominal values, variance J J' over the spreads by adjoint sensitivities, the meter's errors added.</remarks>
    public static Expectation Of(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    ) => Of(amplifier, ReadingKind.Dc, Condition.Normal, cancellationToken);

    /// <summary>Predicts readings of one kind in one condition.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="kind">Volts DC, levels of the test signal, or ohms (with the power off).</param>
    /// <param name="condition">The condition.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static Expectation Of(
        Amplifier amplifier,
        ReadingKind kind,
        Condition condition,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(amplifier);
        ArgumentNullException.ThrowIfNull(condition);
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        if (!workspace.Solve([], cancellationToken).Converged)
        {
            return new([], "The circuit as drawn has no operating point that could be found.");
        }
        var (scene, reason) = new SceneBuilder(amplifier, compiled).Find(condition);
        if (scene is null)
        {
            return new([], $"The condition {condition} cannot be set up: {reason}.");
        }
        if (WhyNot(amplifier, kind, scene) is { } not)
        {
            return new([], not);
        }
        var spread = SpreadModelBuilder.Build(amplifier, compiled);
        var start = workspace.Volts.ToArray();
        if (scene.Condition != Condition.Normal)
        {
            var bare = new Predictor([(scene, [])], spread, amplifier.Sheet.Meter);
            bare.Restore([]);
            if (!bare.Solve(start, cancellationToken))
            {
                return new([], $"In the condition {condition} no operating point could be found.");
            }
            bare.CopyState(start);
        }
        return new(Predict(amplifier, kind, scene, spread, start, cancellationToken), null);
    }

    private static ImmutableArray<ExpectedReading> Predict(
        Amplifier amplifier,
        ReadingKind kind,
        Scene scene,
        SpreadModel spread,
        double[] volts,
        CancellationToken cancellationToken
    )
    {
        var meter = amplifier.Sheet.Meter;
        var places = ExpectedPlaces.Of(amplifier, kind).ToArray();
        var rows = places
            .Select(p => Row.Of(meter, kind, p.Point.Node, p.RefNode, Shown(kind, volts, p.Point)))
            .ToImmutableArray();
        Predictor Solved()
        {
            var predictor = new Predictor([(scene, rows)], spread, meter);
            predictor.Restore([]);
            predictor.Solve(volts, cancellationToken);
            predictor.Read(edits: 0);
            return predictor;
        }
        var predictor = Solved();
        if (kind == ReadingKind.Ac)
        {
            rows = [.. rows.Select((r, i) => r with { LevelFloor = LevelFloors.Of(predictor, i) })];
            predictor = Solved();
        }
        return
        [
            .. places.Select(
                (place, i) =>
                {
                    var row = predictor.Jacobian.AsSpan(i * predictor.Width, predictor.Width);
                    var mean = RowScale.Value(rows[i], predictor.Mean[i]);
                    var own = meter.OwnSigma(rows[i], mean);
                    var sigma = Math.Sqrt(TensorPrimitives.SumOfSquares<double>(row) + own * own);
                    return new ExpectedReading(place.Point, mean, sigma)
                    {
                        Condition = scene.Condition,
                        Across = place.Across,
                        Row = rows[i],
                        Place = predictor.Mean[i],
                    };
                }
            ),
        ];
    }

    // A needle meter's range follows the volts DC that it reads.
    private static double Shown(ReadingKind kind, double[] volts, Point point) =>
        kind == ReadingKind.Dc ? volts[point.Node] : 0;

    private static string? WhyNot(Amplifier amplifier, ReadingKind kind, Scene scene) =>
        kind switch
        {
            > ReadingKind.Ohms => "Only values that a meter shows can be predicted.",
            ReadingKind.Ohms when !scene.IsOff =>
                "Resistance is measured with the power off: add off to the condition.",
            not ReadingKind.Ohms when scene.IsOff =>
                "With the power off there is nothing but resistance to measure.",
            ReadingKind.Ac when scene.Signal is not null || !amplifier.Sheet.Supplies.IsEmpty =>
                null,
            ReadingKind.Ac when amplifier.Sheet.Signal is null =>
                "The sheet names no test signal: give it a [signal] with source, frequency and level.",
            ReadingKind.Ac =>
                "The test signal is 0 V: give [signal] a level, or the condition signal=20m.",
            _ => null,
        };
}
