using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>
/// Makes the generator that is clipped to a point a part of the circuit: a source behind its resistance and its blocking capacitor, which a
/// transient needs as elements.
/// </summary>
internal static class GeneratorCircuit
{
    private const string Generator = "generator";

    /// <summary>The amplifier with the generator of a condition soldered in, and what is left of the condition.</summary>
    public static (Amplifier Amplifier, Condition Condition) Attach(
        Amplifier amplifier,
        Condition condition
    )
    {
        if (
            amplifier.Sheet.Signal is not { } signal
            || condition.Terms.OfType<SignalInjected>().FirstOrDefault() is not { } injected
        )
        {
            return (amplifier, condition);
        }
        var wired = amplifier with
        {
            Circuit = With(amplifier.Circuit, injected.Node, signal),
            Sheet = amplifier.Sheet with { Signal = signal with { Source = Generator } },
        };
        return (wired, Condition.Of(condition.Terms.Remove(injected)));
    }

    private static Circuit With(Circuit circuit, int node, Circuits.Sheets.SignalData signal)
    {
        var where = circuit.Elements[0].Where;
        var (output, blocked) = (circuit.Nodes.Length, circuit.Nodes.Length + 1);
        return circuit with
        {
            Nodes =
            [
                .. circuit.Nodes,
                new(output, $"{Generator} output", true),
                new(blocked, $"{Generator} blocked", true),
            ],
            Elements =
            [
                .. circuit.Elements,
                new VoltageSource(Generator, Ends(output, 0), new(0), where),
                new Resistor(
                    $"{Generator} resistance",
                    Ends(output, blocked),
                    signal.SourceResistance,
                    where
                ),
                new Capacitor(
                    $"{Generator} capacitor",
                    Ends(blocked, node),
                    signal.BlockingCapacitance,
                    where
                ),
            ],
            ReadAgain = circuit.ReadAgain is { } read
                ? settings =>
                {
                    var again = read(settings);
                    return again with
                    {
                        Circuit = again.Circuit is { } other ? With(other, node, signal) : null,
                    };
                }
                : null,
        };
    }

    private static ImmutableArray<Terminal> Ends(int first, int second) =>
        [new(first, -1), new(second, -1)];
}
