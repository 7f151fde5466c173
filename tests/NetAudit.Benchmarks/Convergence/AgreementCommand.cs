using NetAudit.Benchmarks.Figures;
using NetAudit.Benchmarks.Speed;
using NetAudit.Circuits;
using NetAudit.Reference.Ngspice;
using NetAudit.Reference.RandomNetlists;
using NetAudit.Simulation;

namespace NetAudit.Benchmarks.Convergence;

/// <summary>
/// <c>agreement</c>: random netlists over every device kind, ours and ngspice's operating point of the same text. How often each finds one,
/// and that no two that were found differ by more than 0.1 % and 1 mV.
/// </summary>
internal static class AgreementCommand
{
    private const double Relative = 1e-3;
    private const double Absolute = 1e-3;

    public static int Run(Options options)
    {
        var seeds = options.Count("seeds", 2000);
        var (ours, theirs, both, differ) = (0, 0, 0, 0);
        using var folder = new NgspiceFolder(TubeLibrary.Text);
        for (var seed = 0; seed < seeds; seed++)
        {
            var path = folder.Add($"seed-{seed}.cir", RandomNetlist.Make(seed));
            var circuit = CircuitReader.ReadFile(path).Circuit!;
            var found = new OperatingPointSolver().Solve(circuit);
            var expected = NgspiceSession.Use(session => Volts(session, path, circuit));
            ours += found.Converged ? 1 : 0;
            theirs += expected is null ? 0 : 1;
            if (found.Converged && expected is not null)
            {
                both++;
                differ += Agrees(circuit, found, expected) ? 0 : 1;
            }
        }
        var section = $"""
            ## Agreement on random netlists (`agreement --seeds {seeds}`)

            Every device kind, random topology, the same text for both; a node agrees within 0.1 % and 1 mV.

            | netlists | operating point found here | by ngspice | by both | of these different |
            | --- | --- | --- | --- | --- |
            | {seeds} | {ours} | {theirs} | {both} | {differ} |
            """;
        FiguresFile.Write(options.Output, "agreement", section);
        Console.WriteLine(section);
        return differ == 0 ? 0 : 1;
    }

    // By node index; null when ngspice finds no operating point.
    private static double[]? Volts(NgspiceSession session, string path, Circuit circuit)
    {
        session.LoadFile(path);
        return session.OperatingPoint()
            ?
            [
                .. circuit.Nodes.Select(node =>
                    node.Internal || node.Index == 0
                        ? 0
                        : session.Value(node.Name.ToLowerInvariant())
                ),
            ]
            : null;
    }

    private static bool Agrees(Circuit circuit, OperatingPoint found, double[] expected) =>
        circuit.Nodes.All(node =>
            node.Internal
            || Math.Abs(found.NodeVolts[node.Index] - expected[node.Index])
                <= Relative * Math.Abs(expected[node.Index]) + Absolute
        );
}
