using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Simulation;

/// <summary>The solver behind <see cref="IOperatingPointSolver"/>: compiles the circuit and solves it once. Thread-safe.</summary>
public sealed class OperatingPointSolver : IOperatingPointSolver
{
    /// <inheritdoc/>
    public OperatingPoint Solve(Circuit circuit, CancellationToken cancellationToken = default) =>
        Solve(circuit, [], cancellationToken);

    /// <summary>As above, starting from these volts by node index; empty starts from the netlist's hints.</summary>
    public static OperatingPoint Solve(
        Circuit circuit,
        ReadOnlySpan<double> startVolts,
        CancellationToken cancellationToken = default
    )
    {
        var compiled = CompiledCircuit.Compile(circuit);
        var workspace = new Workspace(compiled);
        var outcome = workspace.Solve(startVolts, cancellationToken);
        var notes = compiled.Topology.Notes;
        if (!outcome.Converged)
        {
            return new OperatingPoint
            {
                Converged = false,
                Strategy = Name(outcome.Strategy),
                Iterations = outcome.Iterations,
                Residual = outcome.Residual,
                Notes = notes.Add(compiled.Topology.Contradiction ?? workspace.WorstNodes()),
            };
        }
        return new OperatingPoint
        {
            Converged = true,
            NodeVolts = [.. workspace.Volts],
            BranchAmps = Branches(compiled, workspace),
            Strategy = Name(outcome.Strategy),
            Iterations = outcome.Iterations,
            Residual = outcome.Residual,
            Notes = notes,
        };
    }

    private static ImmutableArray<(int, double)> Branches(
        CompiledCircuit compiled,
        Workspace workspace
    )
    {
        var amps = ImmutableArray.CreateBuilder<(int, double)>();
        for (var e = 0; e < compiled.Circuit.Elements.Length; e++)
        {
            if (workspace.HasBranchAmps(e))
            {
                amps.Add((e, workspace.BranchAmps(e)));
            }
        }
        return amps.ToImmutable();
    }

    private static string Name(SolveStrategy strategy) =>
        strategy switch
        {
            SolveStrategy.Newton => "newton",
            SolveStrategy.LeakageStepping => "leakage stepping",
            SolveStrategy.PseudoTransient => "pseudo-transient",
            SolveStrategy.SourceStepping => "source stepping",
            _ => "none",
        };
}
