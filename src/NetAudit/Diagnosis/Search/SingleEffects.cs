using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;

namespace NetAudit.Diagnosis.Search;

/// <summary>A single fault at one of its grid values.</summary>
internal readonly record struct SingleFault(FaultClass Class, double Value);

/// <summary>
/// What every point reads under every single fault at every grid value. It does not depend on any measurement, so it is worked out
/// once per circuit and a new reading costs likelihoods only. Not thread-safe.
/// </summary>
internal sealed class SingleEffects
{
    private readonly Dictionary<int, int> _rowOfNode = [];
    private readonly double[] _healthy;
    private readonly double[] _volts;

    /// <param name="everywhere">Predicts every point, each against chassis.</param>
    /// <param name="nodes">The node of each of its readings.</param>
    /// <param name="classes">The catalogue.</param>
    /// <param name="startVolts">Node volts of the healthy unit.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public SingleEffects(
        FaultedCircuit everywhere,
        ImmutableArray<int> nodes,
        ImmutableArray<FaultClass> classes,
        double[] startVolts,
        CancellationToken cancellationToken
    )
    {
        for (var row = 0; row < nodes.Length; row++)
        {
            _rowOfNode[nodes[row]] = row;
        }
        _healthy = new double[nodes.Length];
        everywhere.Solve(FaultSet.Healthy, [], [], startVolts, cancellationToken);
        everywhere.Predictor.ReadMean();
        everywhere.Predictor.Mean.CopyTo(_healthy, 0);
        Faults = [.. classes.SelectMany(c => c.Range.Grid.Select(v => new SingleFault(c, v)))];
        Settled = new bool[Faults.Length];
        _volts = new double[nodes.Length * Faults.Length];
        for (var fault = 0; fault < Faults.Length; fault++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var set = FaultSet.Of(Faults[fault].Class);
            var logValue = Math.Log(Faults[fault].Value);
            Settled[fault] = everywhere.Solve(set, [logValue], [], startVolts, cancellationToken);
            if (!Settled[fault])
            {
                continue;
            }
            everywhere.Predictor.ReadMean();
            for (var row = 0; row < nodes.Length; row++)
            {
                _volts[row * Faults.Length + fault] = everywhere.Predictor.Mean[row];
            }
        }
    }

    /// <summary>The faults, in catalogue order.</summary>
    public ImmutableArray<SingleFault> Faults { get; }

    /// <summary>Whether the circuit settled under each fault.</summary>
    public bool[] Settled { get; }

    /// <summary>Change of one reading by each fault.</summary>
    /// <param name="node">Node of the positive probe.</param>
    /// <param name="reference">Node of the negative probe.</param>
    /// <param name="changes">Volts, one a fault; 0 where the circuit did not settle.</param>
    public void Fill(int node, int reference, Span<double> changes)
    {
        changes.Clear();
        Accumulate(node, 1, changes);
        Accumulate(reference, -1, changes);
    }

    private void Accumulate(int node, double sign, Span<double> changes)
    {
        // Chassis and nodes that no probe reaches do not count: a reference there is the chassis.
        if (!_rowOfNode.TryGetValue(node, out var row))
        {
            return;
        }
        for (var fault = 0; fault < changes.Length; fault++)
        {
            if (Settled[fault])
            {
                changes[fault] += sign * (_volts[row * Faults.Length + fault] - _healthy[row]);
            }
        }
    }
}
