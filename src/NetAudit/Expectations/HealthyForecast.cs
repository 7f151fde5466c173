using System.Collections.Immutable;
using System.Numerics.Tensors;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>
/// Predicts what a meter shows in a healthy unit, at any place, of any kind, in any condition: the circuit is compiled and solved once.
/// To first order: mean at nominal values, variance J J' over the spreads by adjoint sensitivities, the meter's errors added. Not
/// thread-safe.
/// </summary>
public sealed class HealthyForecast
{
    private readonly Amplifier _amplifier;
    private readonly SceneBuilder _scenes;
    private readonly SpreadModel _spread;
    private readonly double[] _normal;

    private HealthyForecast(Amplifier amplifier, CompiledCircuit compiled, double[] normal)
    {
        _amplifier = amplifier;
        _scenes = new SceneBuilder(amplifier, compiled);
        _spread = SpreadModelBuilder.Build(amplifier, compiled);
        _normal = normal;
    }

    /// <summary>Compiles and solves the circuit as drawn.</summary>
    /// <returns>The forecast, or null with what is wrong.</returns>
    public static (HealthyForecast? Forecast, Diagnostic? Problem) Prepare(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(amplifier);
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        return workspace.Solve([], cancellationToken).Converged
            ? (new(amplifier, compiled, workspace.Volts.ToArray()), null)
            : (null, Unsettled.Describe(workspace));
    }

    /// <summary>Predicts at all places where readings of a kind are worth taking.</summary>
    public Expectation Of(
        ReadingKind kind,
        Condition condition,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(condition);
        return Predict(
            kind,
            condition,
            [.. ExpectedPlaces.Of(_amplifier, kind)],
            cancellationToken
        );
    }

    /// <summary>Predicts one reading that was taken, or is to be taken; null for what no meter shows, and where nothing can be said.</summary>
    public ExpectedReading? Of(Reading reading, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(reading);
        if (!reading.IsMeasured || reading.Node < 0 || reading.Node == reading.RefNode)
        {
            return null;
        }
        var point =
            _amplifier.Points.FirstOrDefault(p => p.Node == reading.Node)
            ?? new Point(_amplifier.Circuit.Nodes[reading.Node].Name, [], reading.Node);
        var across = _amplifier.FindPoint(reading.At) is null ? reading.At : null;
        return
            Predict(
                reading.Kind,
                reading.Condition,
                [new(point, across, reading.RefNode)],
                cancellationToken
            )
                is { Readings: [{ } only] }
            && !double.IsNaN(only.Mean)
            ? only
            : null;
    }

    private Expectation Predict(
        ReadingKind kind,
        Condition condition,
        ImmutableArray<ExpectedPlaces.Place> places,
        CancellationToken cancellationToken
    )
    {
        var (scene, reason) = _scenes.Find(condition);
        if (scene is null)
        {
            return new([], Problem($"The condition {condition} cannot be set up: {reason}."));
        }
        if (WhyNot(kind, scene) is { } not)
        {
            return new([], Problem(not));
        }
        var volts = _normal.ToArray();
        if (scene.Condition != Condition.Normal)
        {
            var bare = new Predictor([(scene, [])], _spread, _amplifier.Sheet.Meter);
            bare.Restore([]);
            if (!bare.Solve(volts, cancellationToken))
            {
                return new(
                    [],
                    InCondition(condition, Unsettled.Describe(bare.Scenes[0].Workspace))
                );
            }
            bare.CopyState(volts);
        }
        return new(Predict(kind, scene, places, volts, cancellationToken), null);
    }

    private ImmutableArray<ExpectedReading> Predict(
        ReadingKind kind,
        Scene scene,
        ImmutableArray<ExpectedPlaces.Place> places,
        double[] volts,
        CancellationToken cancellationToken
    )
    {
        var meter = _amplifier.Sheet.Meter;
        var rows = places
            .Select(p => Row.Of(meter, kind, p.Point.Node, p.RefNode, Shown(kind, volts, p)))
            .ToImmutableArray();
        Predictor Solved()
        {
            var predictor = new Predictor([(scene, rows)], _spread, meter);
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
    private static double Shown(ReadingKind kind, double[] volts, ExpectedPlaces.Place place) =>
        kind == ReadingKind.Dc ? volts[place.Point.Node] - volts[place.RefNode] : 0;

    private static Diagnostic Problem(string message) => new(Severity.Error, null, message);

    private static Diagnostic InCondition(Condition condition, Diagnostic unsettled) =>
        unsettled with
        {
            Message = $"In the condition {condition}: {unsettled.Message}",
        };

    private string? WhyNot(ReadingKind kind, Scene scene) =>
        kind switch
        {
            > ReadingKind.Ohms => "Only values that a meter shows can be predicted.",
            ReadingKind.Ohms when !scene.IsOff =>
                "Resistance is measured with the power off: add off to the condition.",
            not ReadingKind.Ohms when scene.IsOff =>
                "With the power off there is nothing but resistance to measure.",
            ReadingKind.Ac when scene.Signal is not null || !_amplifier.Sheet.Supplies.IsEmpty =>
                null,
            ReadingKind.Ac when _amplifier.Sheet.Signal is null =>
                "The sheet names no test signal: give it a [signal] with source, frequency and level.",
            ReadingKind.Ac =>
                "The test signal is 0 V: give [signal] a level, or the condition signal=20m.",
            _ => null,
        };
}
