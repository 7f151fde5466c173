using System.Collections.Immutable;

namespace NetAudit.Circuits;

/// <summary>
/// A circuit after elaboration: flat, every parameter a number, every name resolved. Immutable and thread-safe.
/// Node 0 is chassis (ground).
/// </summary>
public sealed record Circuit
{
    /// <summary>First line of the netlist.</summary>
    public required string Title { get; init; }

    /// <summary>All nodes; index 0 is chassis. A node of a subcircuit is named <c>XV1A.e1</c>.</summary>
    public required ImmutableArray<Node> Nodes { get; init; }

    /// <summary>All elements in netlist order, subcircuit elements in the place of their <c>X</c> card.</summary>
    public required ImmutableArray<Element> Elements { get; init; }

    /// <summary>Every pin: where an element, or a device made of a subcircuit, meets its node.</summary>
    public required ImmutableArray<Pin> Pins { get; init; }

    /// <summary>Every expanded <c>X</c> card, outer before inner.</summary>
    public required ImmutableArray<Instance> Instances { get; init; }

    /// <summary>Temperature of the circuit in degrees Celsius; 27 unless <c>.temp</c> says otherwise.</summary>
    public double Temperature { get; init; } = 27.0;

    /// <summary>
    /// Start values of nodes from <c>.nodeset</c> and <c>.ic</c>: hints for the solver, never constraints. Node index, volts.
    /// </summary>
    public ImmutableArray<(int Node, double Volts)> Hints { get; init; } = [];

    /// <summary>Names of the <c>.param</c> parameters at the top of the netlist, in the netlist's spelling.</summary>
    public ImmutableArray<string> Parameters { get; init; } = [];

    /// <summary>The netlist read again with other values of its top-level parameters; null when the circuit was not read from one.</summary>
    internal Func<IReadOnlyDictionary<string, double>, CircuitReadResult>? ReadAgain { get; init; }

    /// <summary>What the netlist's own file (not what it includes) defines and nothing uses, in order.</summary>
    public ImmutableArray<UnusedDefinition> Unused { get; init; } = [];

    /// <summary>
    /// Names of nodes at the top of the netlist written in another case than where they first stand: one node here, two in a program that
    /// minds case. Each spelling once, where it first stands.
    /// </summary>
    public ImmutableArray<OtherSpelling> Spellings { get; init; } = [];

    /// <summary>Index of the node of that name (case-insensitive, <c>gnd</c> is node 0), or -1.</summary>
    public int FindNode(string name)
    {
        if (name.Equals("gnd", StringComparison.OrdinalIgnoreCase))
        {
            return 0;
        }
        for (var i = 0; i < Nodes.Length; i++)
        {
            if (Nodes[i].Name.Equals(name, StringComparison.OrdinalIgnoreCase))
            {
                return i;
            }
        }
        return -1;
    }

    /// <summary>Index of the element of that name (case-insensitive, hierarchical: <c>XV1A.B1</c>), or -1.</summary>
    public int FindElement(string name)
    {
        for (var i = 0; i < Elements.Length; i++)
        {
            if (Elements[i].Name.Equals(name, StringComparison.OrdinalIgnoreCase))
            {
                return i;
            }
        }
        return -1;
    }
}
