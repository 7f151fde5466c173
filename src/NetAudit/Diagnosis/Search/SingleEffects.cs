using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Diagnosis.Search;

/// <summary>A single fault at one of its grid values.</summary>
internal readonly record struct SingleFault(FaultClass Class, double Value);

/// <summary>
/// What readings show under every single fault at every grid value, in every condition asked for so far. It does not depend on any
/// measurement, so it is worked out once per circuit and condition and a new reading costs likelihoods only. Not thread-safe.
/// </summary>
internal sealed class SingleEffects
{
    private readonly HealthyUnit _healthy;
    private readonly Dictionary<(Condition, Row), double[]> _rows = [];

    /// <param name="classes">The catalogue.</param>
    /// <param name="healthy">The unit without faults.</param>
    public SingleEffects(ImmutableArray<FaultClass> classes, HealthyUnit healthy)
    {
        _healthy = healthy;
        Faults = [.. classes.SelectMany(c => c.Range.Grid.Select(v => new SingleFault(c, v)))];
        Settled = new bool[Faults.Length];
        Array.Fill(Settled, true);
    }

    /// <summary>The faults, in catalogue order.</summary>
    public ImmutableArray<SingleFault> Faults { get; }

    /// <summary>Whether the circuit settled under each fault in every condition tried.</summary>
    public bool[] Settled { get; }

    /// <summary>Works out what is not known yet.</summary>
    /// <param name="scene">The condition.</param>
    /// <param name="rows">The readings wanted.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public void Prepare(Scene scene, ImmutableArray<Row> rows, CancellationToken cancellationToken)
    {
        var missing = rows.Where(r => !_rows.ContainsKey(KeyOf(scene, r))).ToArray();
        if (missing.Length == 0)
        {
            return;
        }
        var kinds = missing.Select(r => r.Kind).ToHashSet();
        // Every point of the kind along with the first one asked for: the solves are the cost.
        ImmutableArray<Row> wanted =
        [
            .. _healthy
                .EveryPoint(scene, cancellationToken)
                .Where(r => kinds.Contains(r.Kind) && !_rows.ContainsKey(KeyOf(scene, r)))
                .Concat(missing)
                .Distinct()
                .OrderBy(r => r.Kind),
        ];
        var solvers = new SolverPool<FaultedCircuit>(() =>
            _healthy.Circuit(scene, wanted, isRough: true)
        );
        var start = _healthy.VoltsIn(scene, cancellationToken)!;
        var changes = wanted.Select(_ => new double[Faults.Length]).ToArray();
        var unaltered = _healthy.Circuit(scene, wanted, isRough: true);
        BeginHealthy(unaltered);
        double[] healthy = [.. unaltered.Predictor.Mean];
        solvers.ForEach(
            Faults.Length,
            BeginHealthy,
            (fault, circuit) =>
            {
                var set = FaultSet.Of(Faults[fault].Class);
                var logValue = Math.Log(Faults[fault].Value);
                if (!circuit.Solve(set, [logValue], [], start, cancellationToken))
                {
                    Settled[fault] = false;
                    return;
                }
                circuit.Predictor.ReadMean();
                for (var row = 0; row < changes.Length; row++)
                {
                    changes[row][fault] = circuit.Predictor.Mean[row] - healthy[row];
                }
            },
            cancellationToken
        );
        for (var row = 0; row < changes.Length; row++)
        {
            _rows.Add(KeyOf(scene, wanted[row]), changes[row]);
        }

        // With derivatives, so that levels near a null get their signs.
        void BeginHealthy(FaultedCircuit circuit)
        {
            circuit.Solve(FaultSet.Healthy, [], [], start, cancellationToken);
            circuit.Predictor.Read(circuit.Edits);
        }
    }

    /// <summary>Change of a prepared reading by each fault, on the scale of its kind; 0 where the circuit did not settle.</summary>
    public ReadOnlySpan<double> ChangesOf(Scene scene, Row row) => _rows[KeyOf(scene, row)];

    private static (Condition, Row) KeyOf(Scene scene, Row row) => (scene.Condition, row);
}
