using NetAudit.Circuits;
using NetAudit.Reference.Ngspice;
using NetAudit.Simulation;

namespace NetAudit.Tests.Reference;

/// <summary>Holds our operating point against ngspice's: every node within 0.1 % + 1 mV.</summary>
internal static class Agreement
{
    public const double Relative = 1e-3;
    public const double Absolute = 1e-3;

    /// <summary>Reads the same netlist text with both, and returns what differs.</summary>
    public static List<string> OfText(string text, string name)
    {
        using var folder = new NgspiceFolder(RepositoryFiles.TubeLibrary);
        var path = folder.Add(name, text);
        var read = CircuitReader.ReadFile(path);
        if (read.Circuit is not { } circuit)
        {
            return [.. read.Diagnostics.Select(d => $"{name}: {d}")];
        }
        return NgspiceSession.Use(session =>
        {
            session.LoadFile(path);
            return session.OperatingPoint()
                ? OfNodes(
                    circuit,
                    [
                        .. circuit.Nodes.Select(node =>
                            node.Internal || node.Index == 0 ? 0 : session.Value(Spelled(node))
                        ),
                    ],
                    name
                )
                : [$"{name}: ngspice found no operating point"];
        });
    }

    /// <summary>What differs between our operating point and the given node voltages.</summary>
    public static List<string> OfNodes(Circuit circuit, double[] expected, string name)
    {
        var found = new OperatingPointSolver().Solve(circuit);
        if (!found.Converged)
        {
            return [$"{name}: no operating point: {found.Problem}"];
        }
        return Differences(circuit, found.NodeVolts.AsSpan(), expected, name);
    }

    /// <summary>Nodes that differ by more than is allowed.</summary>
    public static List<string> Differences(
        Circuit circuit,
        ReadOnlySpan<double> found,
        double[] expected,
        string name
    )
    {
        var differences = new List<string>();
        foreach (var node in circuit.Nodes)
        {
            var (ours, theirs) = (found[node.Index], expected[node.Index]);
            if (
                !node.Internal
                && !(Math.Abs(ours - theirs) <= Relative * Math.Abs(theirs) + Absolute)
            )
            {
                differences.Add(
                    FormattableString.Invariant(
                        $"{name} {node.Name}: {ours:G8} V, ngspice {theirs:G8} V"
                    )
                );
            }
        }
        return differences;
    }

    // ngspice lower-cases names; a subcircuit's node is x1.n there as here.
    private static string Spelled(Node node) => node.Name.ToLowerInvariant();
}
