namespace NetAudit.Circuits;

/// <summary>An electrical node.</summary>
/// <param name="Index">Index in <see cref="Circuit.Nodes"/>; 0 is chassis.</param>
/// <param name="Name">Name as the netlist first spells it, with the path of the subcircuit it is in.</param>
/// <param name="Internal">True for a node inside a device (no probe reaches it).</param>
public sealed record Node(int Index, string Name, bool Internal);

/// <summary>
/// A pin: the place where a physical device meets its node, which may be an open or resistive joint.
/// </summary>
/// <param name="Index">Index in <see cref="Circuit.Pins"/>.</param>
/// <param name="Owner">Flat name of the element (<c>R3</c>) or device instance (<c>XV1A</c>) that the pin belongs to.</param>
/// <param name="Name"><c>1</c>, <c>2</c> for two-terminal elements in netlist order, <c>c b e s</c>, <c>d g s b</c>, <c>a k</c>, or the port name of a device's subcircuit.</param>
/// <param name="Node">The node outside.</param>
public sealed record Pin(int Index, string Owner, string Name, int Node);

/// <summary>
/// One end of an element: the node, and the pin through which it gets there. All ends behind one device port share one pin, so that
/// breaking the pin floats them together. A control input (of E, G, B) has a terminal too.
/// </summary>
/// <param name="Node">Node index.</param>
/// <param name="Pin">Pin index, or -1 where the end lies inside a device.</param>
public readonly record struct Terminal(int Node, int Pin);

/// <summary>One expanded <c>X</c> card.</summary>
/// <param name="Name">Hierarchical name, <c>XCH1.XV1A</c>.</param>
/// <param name="Subcircuit">Name of the subcircuit as its <c>.subckt</c> card spells it.</param>
/// <param name="Ports">Port names and the nodes they connect to, in order.</param>
/// <param name="Where">The <c>X</c> card.</param>
/// <param name="IsDevice">
/// True when the subcircuit models one physical device (a tube, a potentiometer), false when it is a block of parts. A device's inner
/// elements are not parts of their own.
/// </param>
public sealed record Instance(
    string Name,
    string Subcircuit,
    System.Collections.Immutable.ImmutableArray<(string Port, int Node)> Ports,
    NetAudit.Common.SourceSpan Where,
    bool IsDevice
);
