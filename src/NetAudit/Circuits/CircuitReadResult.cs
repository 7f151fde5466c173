using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Circuits;

/// <summary>What reading a netlist gave.</summary>
/// <param name="Circuit">The circuit; null if and only if some diagnostic is an error.</param>
/// <param name="Diagnostics">Everything there is to say about the netlist, by file and place.</param>
public sealed record CircuitReadResult(Circuit? Circuit, ImmutableArray<Diagnostic> Diagnostics);
