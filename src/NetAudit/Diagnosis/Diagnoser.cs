using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis;

/// <summary>
/// Finds what is wrong with one amplifier from its readings. Holds what does not depend on the readings: the compiled circuit, the
/// spreads, the fault catalogue, the healthy operating point, and what every single fault does. Not thread-safe.
/// </summary>
public sealed class Diagnoser
{
    private readonly Amplifier _amplifier;
    private readonly CompiledCircuit _compiled;
    private readonly SpreadModel _spread;
    private readonly FaultCatalogue _catalogue;
    private readonly double[] _healthyVolts;
    private readonly ImmutableArray<int> _nodes;
    private readonly FaultedCircuit _everywhere;
    private SingleEffects? _singles;

    private Diagnoser(
        Amplifier amplifier,
        CompiledCircuit compiled,
        SpreadModel spread,
        FaultCatalogue catalogue,
        double[] healthyVolts
    )
    {
        _amplifier = amplifier;
        _compiled = compiled;
        _spread = spread;
        _catalogue = catalogue;
        _healthyVolts = healthyVolts;
        _nodes = [.. amplifier.Points.Select(p => p.Node).Distinct()];
        var probes = _nodes.Select(n => ProbeOf(n, 0, healthyVolts[n]));
        _everywhere = new(new Predictor(compiled, spread, [.. probes], amplifier.Sheet.Meter));
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
        var (weighed, notes) = ReadingSelection.Of(readings);
        if (weighed.Count == 0)
        {
            return NothingWeighed(notes);
        }
        var probes = weighed.Select(r => ProbeOf(r.Node, r.RefNode, r.Value)).ToImmutableArray();
        var predictor = new Predictor(_compiled, _spread, probes, _amplifier.Sheet.Meter);
        var evidence = new ReadingEvidence(
            [.. weighed.Select(r => r.Value)],
            _amplifier.Sheet.Meter
        );
        var evaluator = new SetEvaluator(predictor, evidence);
        var states = HealthyReadings.Of(evaluator, weighed, _healthyVolts, cancellationToken);

        var screen = new ExtensionScreen([.. probes], _amplifier.Circuit.Nodes.Length);
        _singles ??= new(_everywhere, _nodes, _catalogue.Classes, _healthyVolts, cancellationToken);
        var search = new FaultSearch(
            evaluator,
            screen,
            new KnownEffects(_singles, [.. weighed.Select(r => (r.Node, r.RefNode))]),
            _catalogue.Classes,
            _healthyVolts,
            cancellationToken
        );
        var found = search.Run(options.MaxFaults);

        var distinguishable = new Distinguisher(
            _everywhere,
            _amplifier.Sheet.Meter,
            _healthyVolts,
            cancellationToken
        );
        var ranking = SuspectRanking.Of(found, distinguishable);
        return new ResultWriter(_amplifier, options).Write(
            ranking,
            states,
            [.. notes, .. UnknownNotes(search)]
        );
    }

    // Without a reading there is nothing to judge by: no probability is known.
    private DiagnosisResult NothingWeighed(List<string> notes) =>
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
            Notes = [.. notes],
        };

    private Probe ProbeOf(int node, int reference, double volts) =>
        new(node, reference, _amplifier.Sheet.Meter.LoadOhms(volts));

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
