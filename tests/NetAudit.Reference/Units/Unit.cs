using System.Collections.Immutable;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units;

/// <summary>A unit on the bench: what is wrong with it, and what the meter shows.</summary>
/// <param name="Faults">Its faults; empty for a healthy unit.</param>
/// <param name="Edits">Everything in it that differs from nominal.</param>
/// <param name="Nodes">Nodes read.</param>
/// <param name="Displayed">Volts shown, by place in <paramref name="Nodes"/>.</param>
public sealed record Unit(
    ImmutableArray<UnitFault> Faults,
    ImmutableArray<CircuitEdit> Edits,
    ImmutableArray<int> Nodes,
    ImmutableArray<double> Displayed
);
