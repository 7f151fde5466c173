using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Simulation;

/// <summary>The solver behind <see cref="IOperatingPointSolver"/>: compiles the circuit and solves it once. Thread-safe.</summary>
public sealed class OperatingPointSolver : IOperatingPointSolver
{
    // Ten times and more what any circuit for people holds.
    private const double MostVolts = 1e6;

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
            var problem = Unsettled.Describe(workspace);
            return new OperatingPoint
            {
                Converged = false,
                Strategy = Name(outcome.Strategy),
                Iterations = outcome.Iterations,
                Residual = outcome.Residual,
                Notes = notes,
                Problem = problem,
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
            Notes = [.. notes, .. Impossible(circuit, workspace.Volts)],
        };
    }

    // Where conductances cancel or a current has nowhere to go, leakage alone decides, and the figure means nothing.
    private static IEnumerable<string> Impossible(Circuit circuit, ReadOnlySpan<double> volts)
    {
        var names = new List<string>();
        for (var node = 1; node < volts.Length; node++)
        {
            if (Math.Abs(volts[node]) >= MostVolts)
            {
                names.Add(circuit.Nodes[node].Name);
            }
        }
        return names.Count == 0
            ? []
            :
            [
                $"No amplifier holds a million volts, as {string.Join(", ", names.Take(3))} would: a source or value is wrong, or what ties "
                    + "these nodes down cancels out.",
            ];
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
