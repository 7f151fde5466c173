using System.Diagnostics;
using NetAudit.Benchmarks.Figures;
using NetAudit.Circuits;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.Ngspice;
using NetAudit.Simulation;

namespace NetAudit.Benchmarks.Speed;

/// <summary>Our solver and ngspice on the same circuits, in the same run.</summary>
internal static class SolverTimings
{
    private const int Rounds = 41;
    private const int TextRepeats = 101;
    private const double Change = 1.05;

    /// <summary>
    /// Microseconds of a re-solve after one resistor has changed by 5 %, started from the last solution: median over rounds through
    /// every resistor. Bytes allocated in all rounds.
    /// </summary>
    public static (double Microseconds, long Bytes) WarmResolve(SpeedSubject subject)
    {
        var compiled = CompiledCircuit.Compile(subject.Circuit);
        var workspace = new Workspace(compiled);
        int[] parameters =
        [
            .. subject
                .Resistors(compiled)
                .Select(i => compiled.FindParameter(ParameterKind.Value, i)),
        ];
        var start = new double[subject.Circuit.Nodes.Length];
        workspace.Solve([]);
        workspace.Volts.CopyTo(start);
        var times = new double[Rounds];
        long bytes = 0;
        Machine.WarmUp(SolveEach);
        for (var round = 0; round < Rounds; round++)
        {
            var before = GC.GetAllocatedBytesForCurrentThread();
            var from = Stopwatch.GetTimestamp();
            SolveEach();
            times[round] = Stopwatch.GetElapsedTime(from).TotalMicroseconds / parameters.Length;
            bytes += GC.GetAllocatedBytesForCurrentThread() - before;
        }
        return (Machine.Median(times), bytes);

        void SolveEach()
        {
            foreach (var parameter in parameters)
            {
                var nominal = compiled.Parameters[parameter].Nominal;
                workspace.Set(parameter, nominal * Change);
                if (!workspace.Solve(start).Converged)
                {
                    throw new InvalidOperationException(
                        "a changed resistor has no operating point"
                    );
                }
                workspace.Set(parameter, nominal);
            }
        }
    }

    /// <summary>Milliseconds from netlist text to operating point in a warm process.</summary>
    public static double TextToPoint(SpeedSubject subject)
    {
        void Once()
        {
            var circuit = CircuitReader.ReadText(subject.Text, "timed.cir").Circuit!;
            if (!new OperatingPointSolver().Solve(circuit).Converged)
            {
                throw new InvalidOperationException("no operating point");
            }
        }
        Machine.WarmUp(Once);
        return Machine.MedianMilliseconds(TextRepeats, Once);
    }

    /// <summary>The same two figures of libngspice with its own default tolerances: alter and op (microseconds), source and op (milliseconds).</summary>
    public static (double Microseconds, double Milliseconds) Ngspice(
        SpeedSubject subject,
        string tubeLibrary
    )
    {
        using var folder = new NgspiceFolder(tubeLibrary);
        var path = folder.Add("timed.cir", subject.Text);
        var flat = FlatNetlist
            .Write(subject.Circuit)
            .Where(line => line != NgspiceOptions.Card)
            .ToArray();
        var resistors = subject
            .Circuit.Elements.Select((element, index) => (element, index))
            .Where(p => p.element is Resistor)
            .ToArray();
        return NgspiceSession.Use(session =>
        {
            session.Load(flat);
            var changed = false;
            var resolve = Machine.MedianMilliseconds(
                10,
                () =>
                {
                    // Every other round changes back, so that each solve follows one change.
                    changed = !changed;
                    foreach (var (element, index) in resistors)
                    {
                        session.Alter(
                            $"r{index}",
                            ((Resistor)element).Ohms * (changed ? Change : 1)
                        );
                        session.OperatingPoint();
                    }
                }
            );
            var text = Machine.MedianMilliseconds(
                21,
                () =>
                {
                    session.LoadFile(path);
                    session.OperatingPoint();
                }
            );
            return (1000 * resolve / resistors.Length, text);
        });
    }
}
