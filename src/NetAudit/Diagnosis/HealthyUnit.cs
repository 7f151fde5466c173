using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Expectations.LargeSignal;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis;

/// <summary>The healthy unit in every condition asked for so far: its operating points, and levels in it. Not thread-safe.</summary>
internal sealed class HealthyUnit
{
    private readonly ImmutableArray<int> _points;
    private readonly Dictionary<Scene, double[]?> _volts = [];
    private readonly Dictionary<(Scene, int), double> _levels = [];
    private readonly Dictionary<(Scene, int, int), double> _floors = [];
    private readonly Dictionary<Scene, DrivenLevels?> _driven = [];

    /// <param name="amplifier">The amplifier.</param>
    /// <param name="compiled">Its circuit, compiled.</param>
    /// <param name="spread">Its spreads.</param>
    /// <param name="volts">Its operating point, powered normally.</param>
    public HealthyUnit(
        Amplifier amplifier,
        CompiledCircuit compiled,
        SpreadModel spread,
        double[] volts
    )
    {
        Amplifier = amplifier;
        _points = [.. amplifier.Points.Select(p => p.Node).Distinct()];
        Spread = spread;
        Scenes = new(amplifier, compiled);
        _volts.Add(Scenes.Normal, volts);
        Loudspeaker = LoudspeakerOf(amplifier);
    }

    /// <summary>The amplifier.</summary>
    public Amplifier Amplifier { get; }

    /// <summary>The meter.</summary>
    public Meter Meter => Amplifier.Sheet.Meter;

    /// <summary>The spreads.</summary>
    public SpreadModel Spread { get; }

    /// <summary>The conditions.</summary>
    public SceneBuilder Scenes { get; }

    /// <summary>Node of the loudspeaker: the live end of the test load; -1 when the sheet names none.</summary>
    public int Loudspeaker { get; }

    /// <summary>Node volts in a condition; null when no operating point was found.</summary>
    public double[]? VoltsIn(Scene scene, CancellationToken cancellationToken)
    {
        if (!_volts.TryGetValue(scene, out var volts))
        {
            var circuit = Circuit(scene, []);
            var start = _volts[Scenes.Normal];
            if (circuit.Solve(FaultSet.Healthy, [], [], start, cancellationToken))
            {
                volts = new double[circuit.Predictor.StateLength];
                circuit.Predictor.CopyState(volts);
            }
            _volts.Add(scene, volts);
        }
        return volts;
    }

    /// <summary>Level at a node against chassis without a meter, volts RMS; NaN when there is none to be had.</summary>
    public double LevelIn(Scene scene, int node, CancellationToken cancellationToken)
    {
        if (!_levels.TryGetValue((scene, node), out var level))
        {
            level = double.NaN;
            if (VoltsIn(scene, cancellationToken) is { } volts)
            {
                var row = Row.Heard(node, RowScale.NoiseFloor);
                var circuit = Circuit(scene, [row]);
                circuit.Solve(FaultSet.Healthy, [], [], volts, cancellationToken);
                circuit.Predictor.ReadMean();
                level = RowScale.Value(row, circuit.Predictor.Mean[0]);
            }
            _levels.Add((scene, node), level);
        }
        return level;
    }

    /// <summary>The unit driven as a condition says, to tell where it clips; null when there is no signal or it could not be followed.</summary>
    public DrivenLevels? DrivenIn(Scene scene, CancellationToken cancellationToken)
    {
        if (!_driven.TryGetValue(scene, out var driven))
        {
            driven = DrivenLevels.Of(
                Amplifier,
                scene.Condition,
                cancellationToken: cancellationToken
            );
            _driven.Add(scene, driven);
        }
        return driven;
    }

    /// <summary>The voltmeter's rows of a scene at those places, each on the scale that suits what healthy units read there.</summary>
    /// <param name="scene">The scene.</param>
    /// <param name="rows">Levels, on the common scale.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public ImmutableArray<Row> ToScale(
        Scene scene,
        ImmutableArray<Row> rows,
        CancellationToken cancellationToken
    )
    {
        var missing = rows.Where(r => !_floors.ContainsKey((scene, r.Node, r.RefNode)))
            .DistinctBy(r => (r.Node, r.RefNode))
            .ToImmutableArray();
        if (missing.Length > 0)
        {
            var circuit = Circuit(scene, missing);
            var volts = VoltsIn(scene, cancellationToken)!;
            circuit.Solve(FaultSet.Healthy, [], [], volts, cancellationToken);
            circuit.Predictor.Read(0);
            for (var i = 0; i < missing.Length; i++)
            {
                _floors[(scene, missing[i].Node, missing[i].RefNode)] = LevelFloors.Of(
                    circuit.Predictor,
                    i
                );
            }
        }
        return [.. rows.Select(r => r with { LevelFloor = _floors[(scene, r.Node, r.RefNode)] })];
    }

    /// <summary>Volts, and levels when there is a signal, at every point against chassis; nothing with the power off.</summary>
    public ImmutableArray<Row> EveryPoint(Scene scene, CancellationToken cancellationToken)
    {
        if (scene.IsOff)
        {
            return [];
        }
        var volts = VoltsIn(scene, cancellationToken)!;
        var dc = _points.Select(n => Row.Of(Meter, ReadingKind.Dc, n, 0, volts[n]));
        if (scene.Signal is null)
        {
            return [.. dc];
        }
        var levels = _points.Select(n => Row.Of(Meter, ReadingKind.Ac, n, 0, 0));
        return [.. dc, .. ToScale(scene, [.. levels], cancellationToken)];
    }

    /// <summary>A circuit to put faults into, in one condition.</summary>
    public FaultedCircuit Circuit(Scene scene, ImmutableArray<Row> rows, bool isRough = false) =>
        new(new([(scene, rows)], Spread, Meter, isRough));

    private static int LoudspeakerOf(Amplifier amplifier) =>
        amplifier
            .Sheet.Fixtures.Select(name => amplifier.Circuit.FindElement(name))
            .Where(e => e >= 0 && amplifier.Circuit.Elements[e] is Resistor)
            .SelectMany(e => amplifier.Circuit.Elements[e].Terminals)
            .Select(terminal => terminal.Node)
            .FirstOrDefault(node => node > 0, -1);
}
