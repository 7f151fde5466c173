using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Simulation;

/// <summary>An operating point, or the account of why there is none.</summary>
public sealed record OperatingPoint
{
    /// <summary>Whether there is one.</summary>
    public required bool Converged { get; init; }

    /// <summary>Volts by node index; empty when not converged.</summary>
    public ImmutableArray<double> NodeVolts { get; init; } = [];

    /// <summary>
    /// Amperes through every V and L and every E, H, B with a voltage output outside inner nodes, from the first terminal through the
    /// element to the second, in element order; empty when not converged.
    /// </summary>
    public ImmutableArray<(int Element, double Amps)> BranchAmps { get; init; } = [];

    /// <summary>How it was found: <c>newton</c>, <c>leakage stepping</c>, <c>pseudo-transient</c>, <c>source stepping</c> or <c>none</c>.</summary>
    public required string Strategy { get; init; }

    /// <summary>Newton iterations over all strategies.</summary>
    public required int Iterations { get; init; }

    /// <summary>Largest violation of Kirchhoff's current law at the solution, amperes.</summary>
    public required double Residual { get; init; }

    /// <summary>Nodes without a DC path, and volts that cannot be.</summary>
    public ImmutableArray<string> Notes { get; init; } = [];

    /// <summary>When not converged, the nodes that would not settle, with the cards that meet there and the mend; otherwise null.</summary>
    public Diagnostic? Problem { get; init; }
}

/// <summary>Finds the DC operating point of a circuit.</summary>
public interface IOperatingPointSolver
{
    /// <summary>The operating point; not converging is a result, not an exception.</summary>
    OperatingPoint Solve(Circuit circuit, CancellationToken cancellationToken = default);
}
