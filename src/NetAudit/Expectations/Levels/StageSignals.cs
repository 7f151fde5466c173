using System.Collections.Immutable;
using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation.SmallSignal;

namespace NetAudit.Expectations.Levels;

/// <summary>Gain, input and output impedance of each stage, as it stands in the amplifier.</summary>
internal static class StageSignals
{
    // A stage whose input is this far below the source lies off the signal's way.
    private const double Unreached = 1e-9;

    public static ImmutableArray<StageSignal> Of(SignalBench bench, TestSignal signal)
    {
        var pinsOf = bench
            .Circuit.Pins.Select(pin => (Stage: bench.Amplifier.StageOf(pin.Owner), Pin: pin))
            .ToLookup(pair => pair.Stage?.Name ?? "", pair => pair.Pin);
        return
        [
            .. bench
                .Amplifier.Stages.Where(stage =>
                    stage is { IsSupply: false, Input: > 0, Output: > 0 }
                    && stage.Input != stage.Output
                )
                .Select(stage => Signal(bench, signal, stage, pinsOf[stage.Name]))
                .OfType<StageSignal>(),
        ];
    }

    private static StageSignal? Signal(
        SignalBench bench,
        TestSignal signal,
        Stage stage,
        IEnumerable<Pin> pins
    )
    {
        var own = pins.ToArray();
        var f = signal.Frequency;
        var main = SignalBench.Exciting(signal, 1);
        if (
            bench.Level(f, main, stage.Input) is not { } at
            || bench.Level(f, main, stage.Output) is not { } behind
        )
        {
            return null;
        }
        var isFedIn = Complex.Abs(at) < Unreached;
        var fed = bench.ExcitingAt(stage.Input);
        if (isFedIn)
        {
            behind = bench.Level(f, fed, stage.Output)!.Value;
            at = bench.Level(f, fed, stage.Input)!.Value;
        }
        return new(
            stage.Name,
            stage.Input,
            stage.Output,
            behind / at,
            isFedIn,
            Impedance(bench, f, fed, stage.Input, own),
            Impedance(bench, f, Excitation.OfCurrent(0, stage.Output, 1), stage.Output, own)
        );
    }

    /// <summary>Volts at a node per ampere that goes there into some pins, under an excitation at that node.</summary>
    public static Complex Impedance(
        SignalBench bench,
        double frequency,
        Excitation excitation,
        int node,
        IEnumerable<Pin> pins
    )
    {
        var volts = bench.Level(frequency, excitation, node)!.Value;
        var amperes = Complex.Zero;
        foreach (var pin in pins.Where(pin => pin.Node == node))
        {
            amperes += bench.Small.PinAmps(pin.Index);
        }
        return amperes == 0 ? new Complex(double.PositiveInfinity, 0) : volts / amperes;
    }
}
