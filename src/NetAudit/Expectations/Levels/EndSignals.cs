using System.Collections.Immutable;
using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;

namespace NetAudit.Expectations.Levels;

/// <summary>Both ends of an amplifier: what the source sees, and what sees the load.</summary>
internal static class EndSignals
{
    /// <summary>Impedance across the signal source; null when the signal is fed in elsewhere or its source is no voltage.</summary>
    public static Complex? InputOf(SignalBench bench, TestSignal signal)
    {
        if (signal.Source < 0 || bench.Circuit.Elements[signal.Source] is not VoltageSource source)
        {
            return null;
        }
        var node =
            source.Terminals[0].Node != 0 ? source.Terminals[0].Node : source.Terminals[1].Node;
        var pins = bench.Circuit.Pins.Where(pin =>
            !pin.Owner.Equals(source.Name, StringComparison.OrdinalIgnoreCase)
        );
        return StageSignals.Impedance(
            bench,
            signal.Frequency,
            Excitation.OfSource(signal.Source, 1),
            node,
            pins
        );
    }

    /// <summary>Every resistor among the fixtures: volts across it, and the impedance of the amplifier behind it.</summary>
    public static ImmutableArray<LoadSignal> LoadsOf(SignalBench bench, TestSignal signal)
    {
        var circuit = bench.Circuit;
        return
        [
            .. bench
                .Amplifier.Parts.Where(part => part.Class == PartClass.Fixture)
                .SelectMany(part => part.Elements)
                .Where(e => circuit.Elements[e] is Resistor)
                .Select(e => Load(bench, signal, e))
                .OfType<LoadSignal>(),
        ];
    }

    private static LoadSignal? Load(SignalBench bench, TestSignal signal, int element)
    {
        var resistor = (Resistor)bench.Circuit.Elements[element];
        var (positive, negative) = (resistor.Terminals[0].Node, resistor.Terminals[1].Node);
        var volts = new Complex[1];
        var ohms = new Complex[1];
        var solved =
            bench.Small.Levels(
                signal.Frequency,
                [SignalBench.Exciting(signal, signal.Volts)],
                [new(positive, negative)],
                [],
                volts,
                []
            ) && bench.Small.Impedances(signal.Frequency, [new(positive, negative)], [], ohms, []);
        var load = bench.Point.Get(
            bench.Scene.Compiled.FindParameter(ParameterKind.Value, element)
        );
        return solved
            ? new(
                resistor.Name,
                load,
                Complex.Abs(volts[0]),
                signal.Volts * Math.Sqrt(load) / Complex.Abs(volts[0]),
                1 / (1 / ohms[0] - 1 / new Complex(load, 0))
            )
            : null;
    }
}
