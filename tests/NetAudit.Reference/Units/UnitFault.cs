using System.Collections.Immutable;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units;

/// <summary>A fault put into a unit: its name in the terms of the diagnosis contract, and the edits that make it.</summary>
/// <param name="Part">Part name.</param>
/// <param name="Mode">Mode as the contract spells it, <c>open-joint</c>.</param>
/// <param name="Pin">Pin name for a fault of a joint, else null.</param>
/// <param name="Nodes">The two nodes of a bridge, else null.</param>
/// <param name="Value">Ohms, amperes, volts or a factor; null when the mode says all.</param>
/// <param name="Edits">What it does to the netlist.</param>
public sealed record UnitFault(
    string Part,
    string Mode,
    string? Pin,
    (string First, string Second)? Nodes,
    double? Value,
    ImmutableArray<CircuitEdit> Edits
)
{
    /// <summary>The fault in one line.</summary>
    public override string ToString()
    {
        var pin = Pin is null ? "" : $" pin {Pin}";
        var nodes = Nodes is { } n ? $" {n.First}-{n.Second}" : "";
        var value = Value is { } v ? FormattableString.Invariant($" ({v:G3})") : "";
        return $"{Part}{pin}{nodes} {Mode}{value}";
    }
}
