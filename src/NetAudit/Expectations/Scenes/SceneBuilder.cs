using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Tubes;
using NetAudit.Simulation;

namespace NetAudit.Expectations.Scenes;

/// <summary>Puts an amplifier into conditions. Scenes are kept: the same condition is built once. Not thread-safe.</summary>
internal sealed class SceneBuilder
{
    private readonly Amplifier _amplifier;
    private readonly Dictionary<Condition, (Scene? Scene, string? Reason)> _known = [];

    /// <param name="amplifier">The amplifier.</param>
    /// <param name="normal">Its circuit, compiled.</param>
    public SceneBuilder(Amplifier amplifier, CompiledCircuit normal)
    {
        _amplifier = amplifier;
        Normal = new()
        {
            Condition = Condition.Normal,
            Compiled = normal,
            Settings = CalibratedSpreads.Settings(amplifier, normal, []),
            Signal = SignalIn(Condition.Normal),
        };
        _known.Add(Condition.Normal, (Normal, null));
    }

    /// <summary>Powered normally.</summary>
    public Scene Normal { get; }

    /// <summary>The amplifier in a condition, or why it cannot be put into it.</summary>
    public (Scene? Scene, string? Reason) Find(Condition condition)
    {
        if (!_known.TryGetValue(condition, out var known))
        {
            known = Build(condition);
            _known.Add(condition, known);
        }
        return known;
    }

    private (Scene? Scene, string? Reason) Build(Condition condition)
    {
        var (circuit, reason) = SceneCircuit.Of(_amplifier, condition);
        if (circuit is null)
        {
            return (null, reason);
        }
        var compiled = ReferenceEquals(circuit, _amplifier.Circuit)
            ? Normal.Compiled
            : CompiledCircuit.Compile(circuit);
        var isOff = condition.IsOff;
        var pulled = Tubes<TubePulled>(condition, t => t.Tube);
        var swapped = Tubes<TubeSwapped>(condition, t => t.Tube);
        var settings = _amplifier
            .Parts.Where(p => p.Class == PartClass.Tube && (isOff || pulled.Contains(p.Name)))
            .SelectMany(p => p.Sections)
            .SelectMany(s => Currents(s))
            .Select(e => compiled.FindParameter(ParameterKind.Strength, e))
            .Where(p => p >= 0)
            .Select(p => (p, 0.0))
            .ToImmutableArray();
        return (
            new()
            {
                Condition = condition,
                Compiled = compiled,
                Settings =
                [
                    .. CalibratedSpreads.Settings(_amplifier, compiled, swapped),
                    .. settings,
                ],
                Ratios = Ratios(compiled, settings),
                Absent = pulled.Union(swapped),
                Swapped = swapped,
                Links =
                [
                    .. condition
                        .Terms.OfType<NodesLinked>()
                        .Where(l => l.FirstNode != l.SecondNode)
                        .Select(l => (l.FirstNode, l.SecondNode)),
                ],
                IsOff = isOff,
                MainsAreKnown = condition.Terms.Any(t => t is MainsVoltage),
                Signal = isOff ? null : SignalIn(condition),
            },
            null
        );
    }

    private IEnumerable<int> Currents(TubeSection section)
    {
        var sources = TubeSources.Of(_amplifier.Circuit, section);
        return [.. sources.Emission, .. sources.Grid];
    }

    private ImmutableArray<double> Ratios(
        CompiledCircuit compiled,
        ImmutableArray<(int Parameter, double Value)> settings
    )
    {
        var normal = Normal.Compiled.Parameters;
        var ratios = new double[normal.Length];
        for (var i = 0; i < ratios.Length; i++)
        {
            ratios[i] =
                normal[i].Nominal == 0 ? 1 : compiled.Parameters[i].Nominal / normal[i].Nominal;
        }
        foreach (var (parameter, value) in settings)
        {
            ratios[parameter] = value;
        }
        return Array.TrueForAll(ratios, r => r == 1) ? [] : [.. ratios];
    }

    private TestSignal? SignalIn(Condition condition)
    {
        if (_amplifier.Sheet.Signal is not { } signal)
        {
            return null;
        }
        var volts = condition.Terms.OfType<SignalLevel>().FirstOrDefault()?.Volts ?? signal.Level;
        if (volts <= 0)
        {
            return null;
        }
        var injected = condition.Terms.OfType<SignalInjected>().FirstOrDefault();
        return new(
            injected is null ? _amplifier.Circuit.FindElement(signal.Source) : -1,
            injected?.Node ?? -1,
            signal.Frequency,
            volts,
            signal.SourceResistance,
            signal.BlockingCapacitance
        );
    }

    private static ImmutableHashSet<string> Tubes<T>(Condition condition, Func<T, string> name)
        where T : ConditionTerm =>
        condition
            .Terms.OfType<T>()
            .Select(name)
            .ToImmutableHashSet(StringComparer.OrdinalIgnoreCase);
}
