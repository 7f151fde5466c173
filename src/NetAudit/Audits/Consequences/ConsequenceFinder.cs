using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Simulation;

namespace NetAudit.Audits.Consequences;

/// <summary>
/// What faults do to the rest of an amplifier at rest, mains nominal, controls as in the netlist: the operating point with the fault,
/// held against every limit. Not thread-safe.
/// </summary>
public sealed class ConsequenceFinder
{
    private readonly FaultCatalogue _catalogue;
    private readonly Workspace _workspace;
    private readonly FaultedState _state;

    private ConsequenceFinder(FaultCatalogue catalogue, Workspace workspace, FaultedState state)
    {
        _catalogue = catalogue;
        _workspace = workspace;
        _state = state;
    }

    /// <summary>The finder of an amplifier, or null and what is wrong when its healthy circuit does not settle.</summary>
    public static (ConsequenceFinder? Finder, Diagnostic? Problem) Prepare(
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
        var state = new FaultedState(amplifier, workspace);
        return (new(FaultCatalogue.Of(amplifier, compiled), workspace, state), null);
    }

    /// <summary>The finder of an amplifier that a diagnoser has prepared already.</summary>
    internal static ConsequenceFinder Of(Diagnoser diagnoser)
    {
        var normal = diagnoser.Healthy.Scenes.Normal;
        var workspace = new Workspace(normal.Compiled);
        workspace.Solve(diagnoser.Healthy.VoltsIn(normal, CancellationToken.None));
        var state = new FaultedState(diagnoser.Healthy.Amplifier, workspace);
        return new(diagnoser.Catalogue, workspace, state);
    }

    /// <summary>
    /// Every single fault, the most harmful first: those that endanger a hand, those that ruin a part before a fuse opens, soonest first,
    /// then by how far parts are past their limits. A fault with a value is shown at the value that does most harm.
    /// </summary>
    /// <param name="progress">Told how far it is, 0 to 1; or null.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public ImmutableArray<Consequence> All(
        IProgress<double>? progress = null,
        CancellationToken cancellationToken = default
    )
    {
        var found = new List<Consequence>();
        for (var i = 0; i < _catalogue.Classes.Length; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (ActsAtRest(_catalogue.Classes[i]))
            {
                found.Add(Of(_catalogue.Classes[i], cancellationToken));
            }
            progress?.Report((i + 1.0) / _catalogue.Classes.Length);
        }
        return ConsequenceRanking.Of(found);
    }

    /// <summary>
    /// What a set of faults does together, each at its value where it has one. Null when the catalogue does not know one of them or they
    /// cannot all be put in.
    /// </summary>
    public Consequence? Of(
        ImmutableArray<Fault> faults,
        CancellationToken cancellationToken = default
    )
    {
        var set = new (FaultClass Class, double Value)[faults.Length];
        for (var i = 0; i < set.Length; i++)
        {
            var wanted = faults[i] with { Value = null };
            var match = _catalogue.Classes.FirstOrDefault(known =>
                known.Identities.Any(identity => identity.Fault with { Value = null } == wanted)
                && (faults[i].Value is not { } value || Holds(known.Range, value))
            );
            if (match is null)
            {
                return null;
            }
            set[i] = (match, faults[i].Value ?? match.Range.Grid[match.Range.Grid.Length / 2]);
        }
        if (set.Sum(member => member.Class.Alterations.Length) > MostAlterations)
        {
            return null;
        }
        return Describe(
            set,
            faults,
            set.Aggregate(1.0, (share, member) => share * member.Class.Share),
            [],
            cancellationToken
        );
    }

    // The workspace holds eight edits, and a body at a touched place is one.
    private const int MostAlterations = 7;

    private Consequence Of(FaultClass fault, CancellationToken cancellationToken)
    {
        var worst = (Value: fault.Range.Grid[0], Badness: -1.0);
        foreach (var value in fault.Range.Grid)
        {
            Apply([(fault, value)]);
            if (_workspace.Solve(_state.HealthyVolts, cancellationToken).Converged)
            {
                var badness = _state.Measure(_workspace);
                if (badness > worst.Badness)
                {
                    worst = (value, badness);
                }
            }
        }
        var identities = fault
            .Identities.Select(identity =>
                identity.Fault with
                {
                    Value = identity.Fault.Unit is null ? null : worst.Value,
                }
            )
            .ToImmutableArray();
        return worst.Badness switch
        {
            < 0 => new([identities[0]], fault.Share, identities[1..], false, [], [], []),
            0 => new([identities[0]], fault.Share, identities[1..], true, [], [], []),
            _ => Describe(
                [(fault, worst.Value)],
                [identities[0]],
                fault.Share,
                identities[1..],
                cancellationToken
            ),
        };
    }

    private Consequence Describe(
        (FaultClass Class, double Value)[] set,
        ImmutableArray<Fault> faults,
        double share,
        ImmutableArray<Fault> alike,
        CancellationToken cancellationToken
    )
    {
        Apply(set);
        if (!_workspace.Solve(_state.HealthyVolts, cancellationToken).Converged)
        {
            return new(faults, share, alike, false, [], [], []);
        }
        _state.Measure(_workspace);
        var (overloads, fuses) = _state.Describe(_workspace);
        var hazards = _state.FindHazards(_workspace, () => Apply(set), cancellationToken);
        return new(faults, share, alike, true, overloads, fuses, hazards);
    }

    private void Apply((FaultClass Class, double Value)[] set)
    {
        _workspace.Restore();
        foreach (var (fault, value) in set)
        {
            fault.ApplyTo(_workspace, value);
        }
    }

    // A capacitor's value does nothing at rest, but for one that a supply has as its reservoir.
    private bool ActsAtRest(FaultClass fault) =>
        fault.Alterations.Any(alteration =>
            alteration.Kind != AlterationKind.Parameter
            || _workspace.Circuit.Parameters[alteration.A]
                is not { Kind: ParameterKind.Value } parameter
            || _workspace.Circuit.Circuit.Elements[parameter.Index] is not (Capacitor or Inductor)
            || HasSupplies
        );

    private bool HasSupplies =>
        _workspace.Circuit.Circuit.Elements.Any(element =>
            element is VoltageSource { Supply: not null }
        );

    private static bool Holds(ValueRange range, double value) =>
        !range.IsContinuous || (value >= range.Low * 0.999 && value <= range.High * 1.001);
}
