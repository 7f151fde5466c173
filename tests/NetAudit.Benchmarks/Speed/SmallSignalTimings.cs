using System.Diagnostics;
using System.Numerics;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;

namespace NetAudit.Benchmarks.Speed;

/// <summary>Levels of the test signal at every node, each time at an operating point just found.</summary>
internal static class SmallSignalTimings
{
    private const int Rounds = 41;
    private const double Change = 1.05;

    /// <summary>
    /// Microseconds of the level solve at 1 kHz that follows each re-solve of the operating point: with ideal meters, with meters that load
    /// the circuit, with all derivatives as well; and of the resistances of every node to chassis with all derivatives. Bytes allocated in
    /// all rounds.
    /// </summary>
    public static (
        double Ideal,
        double Loaded,
        double Derived,
        double Resistances,
        long Bytes
    ) Levels(SpeedSubject subject, string source)
    {
        var circuit = subject.Circuit;
        Excitation[] excitations = [Excitation.OfSource(circuit.FindElement(source), 0.02)];
        var ideal = Probes(circuit, double.PositiveInfinity, 0);
        var loaded = Probes(circuit, 1e7, 100e-12);
        NodePair[] pairs = [.. ideal.Select(probe => new NodePair(probe.Positive, 0))];
        var compiled = CompiledCircuit.Compile(circuit);
        int[] columns = [.. Enumerable.Range(0, compiled.Parameters.Length)];
        var levels = new Complex[ideal.Length];
        var jacobian = new Complex[ideal.Length * columns.Length];
        var ohms = new double[ideal.Length];
        var slopes = new double[ideal.Length * columns.Length];
        long bytes = 0;
        return (
            Time(small => small.Levels(1000, excitations, ideal, [], levels, [])),
            Time(small => small.Levels(1000, excitations, loaded, [], levels, [])),
            Time(small => small.Levels(1000, excitations, loaded, columns, levels, jacobian)),
            Time(small => small.Resistances(pairs, columns, ohms, slopes)),
            bytes
        );

        double Time(Func<SmallSignalWorkspace, bool> ask)
        {
            var workspace = new Workspace(compiled);
            workspace.Solve([]);
            var start = workspace.Volts.ToArray();
            var small = new SmallSignalWorkspace(workspace);
            int[] parameters =
            [
                .. subject
                    .Resistors(compiled)
                    .Select(i => compiled.FindParameter(ParameterKind.Value, i)),
            ];
            var times = new double[Rounds];
            var counted = bytes;
            Machine.WarmUp(() => AskEach());
            bytes = counted;
            for (var round = 0; round < Rounds; round++)
            {
                times[round] = AskEach();
            }
            return Machine.Median(times);

            double AskEach()
            {
                var elapsed = TimeSpan.Zero;
                foreach (var parameter in parameters)
                {
                    var nominal = compiled.Parameters[parameter].Nominal;
                    workspace.Set(parameter, nominal * Change);
                    workspace.Solve(start);
                    var before = GC.GetAllocatedBytesForCurrentThread();
                    var from = Stopwatch.GetTimestamp();
                    if (!ask(small))
                    {
                        throw new InvalidOperationException("no levels");
                    }
                    elapsed += Stopwatch.GetElapsedTime(from);
                    bytes += GC.GetAllocatedBytesForCurrentThread() - before;
                    workspace.Set(parameter, nominal);
                }
                return elapsed.TotalMicroseconds / parameters.Length;
            }
        }
    }

    private static LevelProbe[] Probes(Circuit circuit, double ohms, double farads) =>
        [
            .. circuit
                .Nodes.Where(node => node.Index > 0 && !node.Internal)
                .Select(node => new LevelProbe(node.Index, 0, ohms, farads)),
        ];
}
