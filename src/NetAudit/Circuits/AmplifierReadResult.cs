using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Circuits;

/// <summary>What the reader made of its files.</summary>
/// <param name="Amplifier">The amplifier; null exactly when there is an error.</param>
/// <param name="Diagnostics">Everything found wrong, netlist first.</param>
public sealed record AmplifierReadResult(
    Amplifier? Amplifier,
    ImmutableArray<Diagnostic> Diagnostics
);
