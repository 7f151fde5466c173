using NetAudit.Circuits;
using NetAudit.Reference.Ngspice;
using NetAudit.Simulation;
using NetAudit.Simulation.Transients;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>Holds our waveforms against ngspice's for the same netlist text, at every node a probe can reach.</summary>
internal sealed class TransientAgreement
{
    private readonly Dictionary<string, double[]> _theirs = [];
    private double[] _times = [];

    private TransientAgreement(Circuit circuit, Recording ours)
    {
        Circuit = circuit;
        Ours = ours;
    }

    public Circuit Circuit { get; }

    public Recording Ours { get; }

    /// <summary>Runs both. ngspice takes steps no longer than the given one, at the reference tolerances.</summary>
    public static TransientAgreement Of(
        string text,
        double stop,
        double theirStep,
        double ourStep,
        double tolerance = 1e-5,
        bool atRest = false,
        params string[] amps
    )
    {
        using var folder = new NgspiceFolder(RepositoryFiles.TubeLibrary);
        var path = folder.Add("transient.cir", text);
        var read = CircuitReader.ReadFile(path);
        Assert.True(read.Circuit is not null, string.Join('\n', read.Diagnostics));
        var (outcome, recording) = TransientAnalysis.Run(
            Workspace.ForDynamics(CompiledCircuit.Compile(read.Circuit)),
            stop,
            new IntegratorOptions(ourStep) { Tolerance = tolerance },
            atRest,
            [.. amps.Select(read.Circuit.FindElement)],
            TestContext.Current.CancellationToken
        );
        Assert.True(outcome.Completed, outcome.ToString());
        var agreement = new TransientAgreement(read.Circuit, recording);
        NgspiceSession.Use(session =>
        {
            session.LoadFile(path);
            Assert.True(session.Transient(stop / 1000, stop, theirStep), session.Log);
            agreement._times = session.Values("time");
            foreach (var node in agreement.Nodes)
            {
                agreement._theirs.Add(node.Name, session.Values(node.Name.ToLowerInvariant()));
            }
            foreach (var source in amps)
            {
                agreement._theirs.Add(
                    source,
                    session.Values(source.ToLowerInvariant() + "#branch")
                );
            }
            return true;
        });
        return agreement;
    }

    private IEnumerable<Node> Nodes =>
        Circuit.Nodes.Where(node => !node.Internal && node.Index > 0);

    /// <summary>Nodes that differ by more than a share of their swing and a floor, worst first.</summary>
    public List<string> Differences(double share, double floor) =>
        [
            .. Nodes
                .Select(node => (node.Name, Found: Largest(node.Name, Ours.Volts(node.Index))))
                .Where(pair => pair.Found.Difference > share * pair.Found.Swing + floor)
                .OrderByDescending(pair => pair.Found.Difference / pair.Found.Swing)
                .Select(pair =>
                    FormattableString.Invariant(
                        $"{pair.Name}: off by {pair.Found.Difference:G3} V of {pair.Found.Swing:G3} V at {pair.Found.Time:G4} s"
                    )
                ),
        ];

    /// <summary>The largest difference as a share of the swing, over all nodes that swing by more than the floor.</summary>
    public double WorstShare(double floor) =>
        Nodes
            .Select(node => Largest(node.Name, Ours.Volts(node.Index)))
            .Where(found => found.Swing > floor)
            .Max(found => found.Difference / found.Swing);

    /// <summary>Largest difference, swing, and time of the difference, of a node or recorded current.</summary>
    public (double Difference, double Swing, double Time) Largest(
        string name,
        IReadOnlyList<double> ours
    )
    {
        var theirs = _theirs[name];
        var (worst, at) = (0.0, 0.0);
        for (var i = 0; i < Ours.Times.Count; i++)
        {
            var difference = Math.Abs(ours[i] - Theirs(theirs, Ours.Times[i]));
            if (difference > worst)
            {
                (worst, at) = (difference, Ours.Times[i]);
            }
        }
        return (worst, theirs.Max() - theirs.Min(), at);
    }

    /// <summary>Theirs at a time, on straight lines between their points.</summary>
    public double Theirs(string name, double time) => Theirs(_theirs[name], time);

    private double Theirs(double[] values, double time)
    {
        var i = Array.BinarySearch(_times, time);
        if (i >= 0)
        {
            return values[i];
        }
        i = Math.Clamp(~i, 1, _times.Length - 1);
        var share = (time - _times[i - 1]) / (_times[i] - _times[i - 1]);
        return values[i - 1] + share * (values[i] - values[i - 1]);
    }
}
