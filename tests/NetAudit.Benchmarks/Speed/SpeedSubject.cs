using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Benchmarks.Speed;

/// <summary>A circuit to be timed.</summary>
/// <param name="Name">For the table.</param>
/// <param name="Text">Its netlist.</param>
/// <param name="Circuit">The same, read.</param>
internal sealed record SpeedSubject(string Name, string Text, Circuit Circuit)
{
    public static SpeedSubject Of(string name, string text)
    {
        var read = CircuitReader.ReadText(text, name + ".cir");
        return new(
            name,
            text,
            read.Circuit ?? throw new InvalidOperationException(string.Join('\n', read.Diagnostics))
        );
    }

    /// <summary>Nodes a solver sees, chassis apart.</summary>
    public int Nodes => Circuit.Nodes.Length - 1;

    /// <summary>Resistors to change one after another, as the ones of a real search are: everywhere in the circuit.</summary>
    public int[] Resistors(CompiledCircuit compiled) =>
        [
            .. Enumerable
                .Range(0, Circuit.Elements.Length)
                .Where(i =>
                    Circuit.Elements[i] is Resistor
                    && compiled.FindParameter(ParameterKind.Value, i) >= 0
                ),
        ];
}
