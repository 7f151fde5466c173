using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis;

/// <summary>
/// Finds what is wrong with one amplifier from its readings. Holds what does not depend on the readings: the compiled circuit, the
/// spreads, the fault catalogue, the healthy operating point, and what every single fault does. Not thread-safe.
/// </summary>
public sealed class Diagnoser
{
    private readonly Amplifier _amplifier;
    private readonly SceneBuilder _scenes;
    private readonly SpreadModel _spread;
    private readonly FaultCatalogue _catalogue;
    private readonly Dictionary<Scene, double[]> _healthyVolts = [];
    private readonly ImmutableArray<int> _nodes;
    private readonly SingleEffects _singles;
    private readonly FaultedCircuit _everywhere;

    private Diagnoser(
        Amplifier amplifier,
        CompiledCircuit compiled,
        SpreadModel spread,
        FaultCatalogue catalogue,
        double[] healthyVolts
    )
    {
        _amplifier = amplifier;
        _scenes = new(amplifier, compiled);
        _spread = spread;
        _catalogue = catalogue;
        _healthyVolts.Add(_scenes.Normal, healthyVolts);
        _nodes = [.. amplifier.Points.Select(p => p.Node).Distinct()];
        _singles = new(catalogue.Classes, spread, amplifier.Sheet.Meter, EveryPoint);
        _everywhere = new(
            new([(_scenes.Normal, EveryPoint(_scenes.Normal))], spread, amplifier.Sheet.Meter)
        );
    }

    /// <summary>The catalogue of single faults.</summary>
    internal FaultCatalogue Catalogue => _catalogue;

    /// <summary>Prepares an amplifier.</summary>
    /// <param name="amplifier">The known-good circuit.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>The diagnoser, or null with the reason when the known-good circuit has no operating point.</returns>
    public static (Diagnoser? Diagnoser, string? Reason) Prepare(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    )
    {
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        if (!workspace.Solve([], cancellationToken).Converged)
        {
            return (
                null,
                "The circuit as drawn has no operating point that could be found, so no reading can be judged by it."
            );
        }
        var spread = SpreadModelBuilder.Build(amplifier, compiled);
        var catalogue = FaultCatalogue.Of(amplifier, compiled);
        return (new(amplifier, compiled, spread, catalogue, workspace.Volts.ToArray()), null);
    }

    /// <summary>Weighs the readings.</summary>
    /// <param name="readings">The readings; kinds and conditions that cannot be weighed are named in the notes.</param>
    /// <param name="options">How far to go.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public DiagnosisResult Diagnose(
        IReadOnlyList<Reading> readings,
        DiagnosisOptions? options = null,
        CancellationToken cancellationToken = default
    )
    {
        options ??= new();
        var meter = _amplifier.Sheet.Meter;
        var selection = ReadingSelection.Of(readings, _scenes, meter, cancellationToken);
        if (selection.Weighed.IsEmpty)
        {
            return NothingWeighed(selection.Notes);
        }
        if (HealthyState(selection, cancellationToken) is not { } healthyState)
        {
            return NothingWeighed(
                selection.Notes.Add(
                    "In one of these conditions the circuit as drawn has no operating point that could be found."
                )
            );
        }
        foreach (var (scene, rows) in selection.Groups)
        {
            _singles.Prepare(scene, _healthyVolts[scene], rows, cancellationToken);
        }
        var predictor = new Predictor(selection.Groups, _spread, meter);
        var evidence = new ReadingEvidence(
            [.. predictor.Rows],
            [.. selection.Weighed.Select(r => r.Value)],
            meter
        );
        var evaluator = new SetEvaluator(predictor, evidence);
        var states = HealthyReadings.Of(
            evaluator,
            selection.Weighed,
            healthyState,
            cancellationToken
        );
        var search = new FaultSearch(
            evaluator,
            new ExtensionScreen(predictor, _amplifier.Circuit.Nodes.Length),
            new KnownEffects(_singles, predictor),
            _catalogue.Classes,
            healthyState,
            cancellationToken
        );
        var found = search.Run(options.MaxFaults);

        var distinguishable = new Distinguisher(
            _everywhere,
            meter,
            _healthyVolts[_scenes.Normal],
            cancellationToken
        );
        var ranking = SuspectRanking.Of(found, distinguishable);
        return new ResultWriter(_amplifier, options).Write(
            ranking,
            states,
            [.. selection.Notes, .. UnknownNotes(search)]
        );
    }

    // Without a reading there is nothing to judge by: no probability is known.
    private DiagnosisResult NothingWeighed(ImmutableArray<string> notes) =>
        new()
        {
            Verdict = Verdict.WithinLimits,
            Healthy = double.NaN,
            Suspects = [],
            Stages =
            [
                .. _amplifier.Stages.Select(stage => new StageState(stage.Name, 0, double.NaN)),
            ],
            Readings = [],
            Notes = notes,
        };

    /// <summary>Node volts of the healthy unit in every condition, one after the other; null when it does not settle in one.</summary>
    private double[]? HealthyState(ReadingSelection selection, CancellationToken cancellationToken)
    {
        foreach (var (scene, _) in selection.Groups)
        {
            if (_healthyVolts.ContainsKey(scene))
            {
                continue;
            }
            var circuit = new FaultedCircuit(new([(scene, [])], _spread, _amplifier.Sheet.Meter));
            var start = _healthyVolts[_scenes.Normal];
            if (!circuit.Solve(FaultSet.Healthy, [], [], start, cancellationToken))
            {
                return null;
            }
            var volts = new double[circuit.Predictor.StateLength];
            circuit.Predictor.CopyState(volts);
            _healthyVolts.Add(scene, volts);
        }
        return [.. selection.Groups.SelectMany(g => _healthyVolts[g.Scene])];
    }

    /// <summary>What can be read in a scene at every point, against chassis.</summary>
    private ImmutableArray<Row> EveryPoint(Scene scene)
    {
        if (scene.IsOff)
        {
            return [];
        }
        var meter = _amplifier.Sheet.Meter;
        var volts = _healthyVolts[scene];
        return [.. _nodes.Select(n => new Row(ReadingKind.Dc, n, 0, meter.LoadOhms(volts[n])))];
    }

    private static IEnumerable<string> UnknownNotes(FaultSearch search) =>
        search.Unknown.Count == 0
            ? []
            :
            [
                $"{search.Unknown.Count} possible fault sets have no operating point that could be found; their probability is unknown: "
                    + string.Join(
                        "; ",
                        search
                            .Unknown.Take(5)
                            .Select(s =>
                                string.Join(
                                    " + ",
                                    s.Members.Select(m =>
                                        SuspectNames.Primary(m, double.NaN).Describe()
                                    )
                                )
                            )
                    ),
            ];
}
