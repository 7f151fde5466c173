using NetAudit.Circuits;
using NetAudit.Diagnosis.Observations;
using NetAudit.Expectations;
using NetAudit.Expectations.LargeSignal;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>
/// The readings that could be taken next in conditions that cost little: volts and levels at every point, resistances across every part
/// with the power off, the loudspeaker with the signal fed in stage by stage or with a known-good tube.
/// </summary>
internal sealed class CandidateList
{
    /// <summary>The most that a signal generator gives, volts RMS (common practice, no source).</summary>
    private const double MostVolts = 5;

    /// <summary>How much larger the signal may be where it is lost in noise.</summary>
    private const double Raised = 10;

    /// <summary>
    /// The part of the nominal mains that a unit which blew fuses is brought up to first, on a current limiter: heaters still make their
    /// tubes conduct. In steps of 5 V (common practice, no source).
    /// </summary>
    private const double LoweredMains = 0.75;
    private const double MainsStep = 5;

    private readonly HealthyUnit _healthy;
    private readonly Scene? _driven;
    private readonly Lazy<Scene?> _raised;
    private readonly Condition _last;
    private readonly HashSet<(Condition, ReadingKind, int, int)> _taken;
    private readonly CancellationToken _cancellationToken;

    private CandidateList(
        HealthyUnit healthy,
        IReadOnlyList<Reading> taken,
        CancellationToken cancellationToken
    )
    {
        _healthy = healthy;
        _cancellationToken = cancellationToken;
        _last = taken.Count == 0 ? Condition.Normal : taken[^1].Condition;
        _driven = FindDriven();
        _raised = new(FindRaised);
        _taken = [.. taken.Select(r => (r.Condition, r.Kind, r.Node, r.RefNode))];
    }

    /// <summary>
    /// Candidates that were not taken yet, scene by scene and in order of kind. Several lists are to be gone through in their order, each
    /// only when nothing of the one before is worth taking: a unit that blows fuses is measured with the power off, then on lowered mains,
    /// and then as others are. What it stood already is not asked of it again.
    /// </summary>
    /// <param name="healthy">The unit without faults.</param>
    /// <param name="taken">The readings taken.</param>
    /// <param name="complaint">What the owner complains of, or null.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static IEnumerable<IReadOnlyList<ReadingCandidate>> Of(
        HealthyUnit healthy,
        IReadOnlyList<Reading> taken,
        string? complaint,
        CancellationToken cancellationToken
    )
    {
        var list = new CandidateList(healthy, taken, cancellationToken);
        if (complaint == Complaints.BlowsFuse)
        {
            if (taken.All(r => r.Condition.IsOff))
            {
                yield return Distinct(list.AcrossParts());
            }
            if (
                list.FindLowered() is { } lowered
                && taken.All(r => r.Condition.IsOff || list.IsLowered(r.Condition))
            )
            {
                yield return Distinct(list.VoltsIn(lowered).Concat(list.AcrossParts()));
            }
        }
        yield return Distinct(
            list.VoltsIn(healthy.Scenes.Normal)
                .Concat(list.Levels())
                .Concat(list.AtLoudspeaker())
                .Concat(list.AcrossParts())
        );
    }

    private static ReadingCandidate[] Distinct(IEnumerable<ReadingCandidate> candidates) =>
        [.. candidates.DistinctBy(c => (c.Scene.Condition, c.Row))];

    private bool IsLowered(Condition condition) =>
        condition
            .Terms.OfType<MainsVoltage>()
            .Any(mains => mains.Volts < _healthy.Amplifier.Sheet.Mains.Nominal);

    // A sheet that does not know its mains has no such condition.
    private Scene? FindLowered() =>
        _healthy.Amplifier.Sheet.Mains.Nominal is { } nominal
            ? SceneOf([
                new MainsVoltage(MainsStep * Math.Floor(LoweredMains * nominal / MainsStep)),
            ])
            : null;

    private IEnumerable<ReadingCandidate> VoltsIn(Scene scene)
    {
        if (_healthy.VoltsIn(scene, _cancellationToken) is not { } volts)
        {
            yield break;
        }
        foreach (var node in PointNodes())
        {
            var row = Row.Of(_healthy.Meter, ReadingKind.Dc, node, 0, volts[node]);
            if (Candidate(Name(node), scene, row, volts[node]) is { } candidate)
            {
                yield return candidate;
            }
        }
    }

    private IEnumerable<ReadingCandidate> Levels()
    {
        if (_driven is null)
        {
            yield break;
        }
        var volts = _healthy.VoltsIn(_healthy.Scenes.Normal, _cancellationToken)!;
        foreach (var node in PointNodes())
        {
            var scene = DrivenFor(node);
            if (_healthy.DrivenIn(scene, _cancellationToken)?.Differs(node) ?? false)
            {
                // Where halves cancel there are harmonics, which nothing predicts.
                continue;
            }
            var row = Row.Of(_healthy.Meter, ReadingKind.Ac, node, 0, 0);
            row = _healthy.ToScale(scene, [row], _cancellationToken)[0];
            if (Candidate(Name(node), scene, row, volts[node]) is { } level)
            {
                yield return level;
            }
        }
    }

    private IEnumerable<int> PointNodes() =>
        _healthy.Amplifier.Points.Select(p => p.Node).Distinct();

    // Powered normally with a signal at which nothing clips.
    private Scene? FindDriven()
    {
        var normal = _healthy.Scenes.Normal;
        return normal.Signal is null ? null
            : _healthy.DrivenIn(normal, _cancellationToken) is { IsClipping: true } driven
            && driven.FindCleanVolts(_cancellationToken) is { } volts
                ? SceneOf([new SignalLevel(volts)])
            : normal;
    }

    // Early in the path the signal that leaves the output stage clean is lost in noise: there it may be larger, as far as it stays clean.
    private Scene DrivenFor(int node)
    {
        var level = _healthy.LevelIn(_driven!, node, _cancellationToken);
        return
            level is > RowScale.NoiseFloor / Raised and < RowScale.NoiseFloor * Raised
            && _raised.Value is { } raised
            && _healthy.DrivenIn(raised, _cancellationToken) is { } driven
            && !driven.Differs(node)
            ? raised
            : _driven!;
    }

    private Scene? FindRaised() =>
        SceneOf([new SignalLevel(Math.Min(Raised * _driven!.Signal!.Volts, MostVolts))]);

    private IEnumerable<ReadingCandidate> AtLoudspeaker()
    {
        var loudspeaker = _healthy.Loudspeaker;
        if (loudspeaker < 0 || _driven is null)
        {
            yield break;
        }
        var amplifier = _healthy.Amplifier;
        var injected = amplifier
            .Stages.Where(stage => !stage.IsSupply && stage.Input > 0)
            .Select(stage => FedIn(stage.Input));
        var swapped = amplifier
            .Parts.Where(part => part.Class == PartClass.Tube)
            .Select(part => SceneOf(_driven.Condition.Terms.Add(new TubeSwapped(part.Name))));
        foreach (var scene in injected.Concat(swapped).OfType<Scene>())
        {
            if (Heard(scene) is { } candidate)
            {
                yield return candidate;
            }
        }
    }

    // What is fed in further on has to be larger: as much as brings the loudspeaker to the level that it has from the input.
    private Scene? FedIn(int node)
    {
        var injected = new SignalInjected(Name(node), node);
        if (SceneOf([injected]) is not { Signal.Volts: var usual } scene)
        {
            return null;
        }
        var loudspeaker = _healthy.Loudspeaker;
        var wanted =
            usual
            * _healthy.LevelIn(_driven!, loudspeaker, _cancellationToken)
            / _healthy.LevelIn(scene, loudspeaker, _cancellationToken);
        if (!double.IsFinite(wanted) || wanted <= 0)
        {
            return scene;
        }
        var volts = DrivenLevels.RoundBelow(Math.Min(wanted, MostVolts)).First();
        return SceneOf([injected, new SignalLevel(volts)]);
    }

    private Scene? SceneOf(IEnumerable<ConditionTerm> terms) =>
        _healthy.Scenes.Find(Condition.Of(terms)).Scene;

    private IEnumerable<ReadingCandidate> AcrossParts()
    {
        if (_healthy.Scenes.Find(Condition.Of([new PowerOff()])).Scene is not { } off)
        {
            yield break;
        }
        var amplifier = _healthy.Amplifier;
        foreach (
            var part in amplifier.Parts.Where(p =>
                p.Class is not (PartClass.Fixture or PartClass.Supply)
            )
        )
        {
            var nodes = part
                .Pins.Select(pin => pin.Node)
                .Where(node => node >= 0)
                .Distinct()
                .ToArray();
            if (part.Class != PartClass.Tube && nodes is [var first, var second])
            {
                var (at, node, reference) = Across(part.Name, first, second);
                var row = Row.Of(_healthy.Meter, ReadingKind.Ohms, node, reference, 0);
                if (Candidate(at, off, row, 0) is { } across)
                {
                    yield return across;
                }
            }
            else
            {
                foreach (var node in nodes.Where(node => node > 0))
                {
                    var row = Row.Of(_healthy.Meter, ReadingKind.Ohms, node, 0, 0);
                    if (Candidate(Name(node), off, row, 0) is { } toChassis)
                    {
                        yield return toChassis;
                    }
                }
            }
        }
    }

    // Where a node has the part's name (c1 of C1), that name asks for the node: there the two ends are named.
    private (string At, int Node, int Reference) Across(string part, int first, int second) =>
        _healthy.Amplifier.FindPoint(part) is null ? (part, first, second)
        : first == 0 ? (Name(second), second, 0)
        : second == 0 ? (Name(first), first, 0)
        : ($"{Name(first)}-{Name(second)}", first, second);

    private ReadingCandidate? Heard(Scene scene)
    {
        var level = _healthy.LevelIn(scene, _healthy.Loudspeaker, _cancellationToken);
        if (
            !(level > RowScale.NoiseFloor)
            || HeardLevels.Of("weak", level) is not var (floor, _, sigma)
            || _taken.Any(t => t.Item1.Equals(scene.Condition) && t.Item2 == ReadingKind.Listen)
        )
        {
            return null;
        }
        var cost = ReadingCosts.Of(ReadingKind.Listen, scene.Condition, _last, 0);
        return new(Name(_healthy.Loudspeaker), scene, Row.Heard(_healthy.Loudspeaker, floor), cost)
        {
            Kind = ReadingKind.Listen,
            OwnSigma = sigma,
        };
    }

    private ReadingCandidate? Candidate(string at, Scene scene, Row row, double volts) =>
        _taken.Contains((scene.Condition, row.Kind, row.Node, row.RefNode))
            ? null
            : new(at, scene, row, ReadingCosts.Of(row.Kind, scene.Condition, _last, volts));

    private string Name(int node) => _healthy.Amplifier.Circuit.Nodes[node].Name;
}
