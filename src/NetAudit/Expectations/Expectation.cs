using System.Collections.Immutable;
using System.Numerics.Tensors;
using NetAudit.Circuits;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>The expected readings of a healthy unit, or the reason why there are none.</summary>
/// <param name="Readings">One for each point, in the order of <see cref="Amplifier.Points"/>; empty when there are none.</param>
/// <param name="Reason">Why there are none; otherwise null.</param>
public sealed record Expectation(ImmutableArray<ExpectedReading> Readings, string? Reason)
{
    /// <summary>Predicts every point of an amplifier, powered normally.</summary>
    /// <remarks>To first order: mean at nominal values, variance J J' over the spreads by adjoint sensitivities, the meter's errors added.</remarks>
    public static Expectation Of(Amplifier amplifier, CancellationToken cancellationToken = default)
    {
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        if (!workspace.Solve([], cancellationToken).Converged)
        {
            return new([], "The circuit as drawn has no operating point that could be found.");
        }
        var meter = amplifier.Sheet.Meter;
        var volts = workspace.Volts.ToArray();
        var rows = amplifier
            .Points.Select(p => Row.Of(meter, ReadingKind.Dc, p.Node, 0, volts[p.Node]))
            .ToImmutableArray();
        var normal = new SceneBuilder(amplifier, compiled).Normal;
        var spread = SpreadModelBuilder.Build(amplifier, compiled);
        var predictor = new Predictor([(normal, rows)], spread, meter);
        predictor.Restore([]);
        predictor.Solve(volts, cancellationToken);
        predictor.Read(edits: 0);
        return new(
            [
                .. amplifier.Points.Select(
                    (point, i) =>
                    {
                        var row = predictor.Jacobian.AsSpan(i * predictor.Width, predictor.Width);
                        var own = meter.OwnSigma(rows[i], predictor.Mean[i]);
                        var sigma = Math.Sqrt(
                            TensorPrimitives.SumOfSquares<double>(row) + own * own
                        );
                        return new ExpectedReading(point, predictor.Mean[i], sigma);
                    }
                ),
            ],
            null
        );
    }
}
