using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.Ngspice;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using NetAudit.Tests.Reference;

namespace NetAudit.Tests.Simulation.SmallSignal;

/// <summary>
/// Holds the levels at every node against those of ngspice's own small-signal analysis: 0.1 % and a floor. A circuit that both do not have at
/// the same operating point is not compared: that is for the tests of the operating point.
/// </summary>
internal static class NgspiceLevels
{
    public static readonly double[] Frequencies = [20, 200, 2000, 20e3];

    private const double Relative = 1e-3;

    // A transistor's conductance follows a voltage exponentially: a tenth of a millivolt more is 0.4 %.
    private const double SamePoint = 2e-5;

    // Of the largest level in the circuit.
    private const double Floor = 1e-6;

    /// <summary>What differs at <see cref="Frequencies"/> with the edits put in on both sides and 1 V at the source.</summary>
    public static List<string> Differences(
        Workspace workspace,
        int source,
        IReadOnlyList<CircuitEdit> edits,
        string name,
        ref int compared
    )
    {
        var circuit = workspace.Circuit.Circuit;
        workspace.Restore();
        workspace.Apply(workspace.Circuit, edits);
        if (!workspace.Solve([]).Converged)
        {
            return [$"{name}: no operating point"];
        }
        var small = new SmallSignalWorkspace(workspace);
        var probes = circuit.Nodes.Select(node => new LevelProbe(node.Index, 0)).ToArray();
        var levels = new Complex[probes.Length];
        Excitation[] excitations = [Excitation.OfSource(source, 1)];
        var (point, expected) = Ngspice(circuit, source, edits);
        for (var node = 0; node < point.Length; node++)
        {
            if (
                Math.Abs(point[node] - workspace.Volts[node])
                > SamePoint * (1 + Math.Abs(point[node]) / 10)
            )
            {
                return [];
            }
        }
        compared++;
        var differences = new List<string>();
        for (var f = 0; f < Frequencies.Length; f++)
        {
            if (!small.Levels(Frequencies[f], excitations, probes, [], levels, []))
            {
                differences.Add($"{name}: no levels at {Frequencies[f]} Hz");
                continue;
            }
            var floor = Floor * expected[f].Max(Complex.Abs);
            for (var node = 1; node < levels.Length; node++)
            {
                var theirs = expected[f][node];
                if (!(Complex.Abs(levels[node] - theirs) <= Relative * Complex.Abs(theirs) + floor))
                {
                    differences.Add(
                        FormattableString.Invariant(
                            $"{name} {circuit.Nodes[node].Name} at {Frequencies[f]} Hz: {levels[node]:G6}, ngspice {theirs:G6}"
                        )
                    );
                }
            }
        }
        return differences;
    }

    private static (double[] Point, Complex[][] Levels) Ngspice(
        Circuit circuit,
        int source,
        IReadOnlyList<CircuitEdit> edits
    ) =>
        NgspiceSession.Use(session =>
        {
            session.Load(FlatNetlist.Write(circuit, edits));
            if (!session.OperatingPoint())
            {
                throw new InvalidOperationException(session.Log);
            }
            double[] point =
            [
                .. circuit.Nodes.Select(node => session.Value(FlatNetlist.Node(node.Index))),
            ];
            session.Excite((circuit.Elements[source] is VoltageSource ? "v" : "i") + source, 1);
            if (!session.SmallSignal(1, Frequencies[0], Frequencies[^1]))
            {
                throw new InvalidOperationException(session.Log);
            }
            var levels = new Complex[Frequencies.Length][];
            for (var f = 0; f < levels.Length; f++)
            {
                levels[f] =
                [
                    .. circuit.Nodes.Select(node => session.Level(FlatNetlist.Node(node.Index), f)),
                ];
            }
            return (point, levels);
        });
}
