using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Diagnosis.NextReadings;
using NetAudit.Diagnosis.Observations;
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
    private const string HealthyUnknown =
        "What a sound unit would read here could not be worked out, so nothing can be judged by it.";

    private readonly Amplifier _amplifier;
    private readonly HealthyUnit _healthy;
    private readonly FaultCatalogue _catalogue;
    private readonly SingleEffects _singles;

    private Diagnoser(Amplifier amplifier, HealthyUnit healthy, FaultCatalogue catalogue)
    {
        _amplifier = amplifier;
        _healthy = healthy;
        _catalogue = catalogue;
        _singles = new(catalogue.Classes, healthy);
    }

    /// <summary>The catalogue of single faults.</summary>
    internal FaultCatalogue Catalogue => _catalogue;

    /// <summary>Share of each class of parts of all single faults, by the table of failure rates; together 1.</summary>
    public ImmutableSortedDictionary<PartClass, double> Shares =>
        new ExperiencedShares(_amplifier, _catalogue.Classes).Table;

    /// <summary>What is known of a healthy unit.</summary>
    internal HealthyUnit Healthy => _healthy;

    /// <summary>Prepares an amplifier.</summary>
    /// <param name="amplifier">The known-good circuit.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>The diagnoser, or null with what is wrong when the known-good circuit has no operating point.</returns>
    public static (Diagnoser? Diagnoser, Diagnostic? Problem) Prepare(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    )
    {
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        if (!workspace.Solve([], cancellationToken).Converged)
        {
            return (null, Unsettled.Describe(workspace));
        }
        var spread = SpreadModelBuilder.Build(amplifier, compiled);
        var catalogue = FaultCatalogue.Of(amplifier, compiled);
        var healthy = new HealthyUnit(amplifier, compiled, spread, workspace.Volts.ToArray());
        return (new(amplifier, healthy, catalogue), null);
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
        var selection = ReadingSelection.Of(readings, _healthy, cancellationToken);
        if (selection.Weighed.IsEmpty && selection.Observed.IsEmpty && options.Complaint is null)
        {
            return NothingWeighed(selection, []);
        }
        var healthyState = selection
            .Groups.SelectMany(g => _healthy.VoltsIn(g.Scene, cancellationToken)!)
            .ToArray();
        foreach (var (scene, rows) in selection.Groups)
        {
            _singles.Prepare(scene, rows, cancellationToken);
        }
        var classes = Testimony.Weigh(
            _amplifier,
            options.Experience is { } experience
                ? new ExperiencedShares(_amplifier, _catalogue.Classes).With(experience)
                : _catalogue.Classes,
            options.Complaint,
            selection.Observed
        );
        var predictor = new Predictor(selection.Groups, _healthy.Spread, _healthy.Meter);
        var evidence = new ReadingEvidence(
            selection.Weighed,
            Testimony.HealthyLogOdds(options.Complaint)
        );
        var evaluator = new SetEvaluator(predictor, evidence);
        var states = HealthyReadings.Of(
            evaluator,
            selection.Weighed,
            _healthy.Meter,
            healthyState,
            cancellationToken
        );
        if (states.IsDefault)
        {
            return NothingWeighed(selection, [HealthyUnknown]) with
            {
                Verdict = Verdict.Unexplained,
            };
        }
        var search = new FaultSearch(
            evaluator,
            new ExtensionScreen(predictor, _amplifier.Circuit.Nodes.Length),
            new KnownEffects(_singles, predictor, classes),
            classes,
            healthyState,
            () => new(selection.Groups, _healthy.Spread, _healthy.Meter, isRough: true),
            options.IsQuick ? SearchEffort.Quick : SearchEffort.Full,
            cancellationToken
        );
        var found = search.Run(options.MaxFaults);
        var distinguishable = Distinguisher.Of(_healthy, selection.Groups, cancellationToken);
        var ranking = SuspectRanking.Of(found, distinguishable);
        var further =
            ranking.Sets is [{ Leading: var leading }, ..]
            && predictor.Readings > 0
            && options is { IsQuick: false, MaxFaults: > 1 }
                ? FurtherFaults.Of(leading, classes, search.Extensions(leading))
                : FurtherFaults.None;
        var next = options.WithNext
            ? NextReadingFinder.Find(
                _healthy,
                selection,
                predictor,
                ranking,
                further,
                readings,
                options.Complaint,
                cancellationToken
            )
            : [];
        return new ResultWriter(_amplifier, options).Write(
            ranking,
            states,
            next,
            [.. selection.Notes, .. Learnt(options), .. UnknownNotes(search)]
        ) with
        {
            Unseen = further.Probability,
            Observed = selection.Observed,
            LeftOut = selection.LeftOut,
            Evaluations = [.. found],
        };
    }

    // Without a reading, or a healthy unit's, there is nothing to judge by: no probability is known.
    private DiagnosisResult NothingWeighed(ReadingSelection selection, string[] notes) =>
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
            LeftOut = selection.LeftOut,
            Notes = [.. selection.Notes, .. notes],
        };

    private static IEnumerable<string> Learnt(DiagnosisOptions options) =>
        options.Experience is { } experience ? [experience.Sentence()] : [];

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
