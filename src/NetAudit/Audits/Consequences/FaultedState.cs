using System.Collections.Immutable;
using NetAudit.Audits.Stresses;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Audits.Consequences;

/// <summary>
/// Reads off a solved, faulted workspace what is past its limit, against the healthy circuit. Buffers are reused; one per thread.
/// </summary>
internal sealed class FaultedState
{
    // A limit that the healthy circuit exceeds as much is not the fault's doing.
    private const double LeastRise = 1.1;

    private readonly Amplifier _amplifier;
    private readonly StressPlan _plan;
    private readonly double[] _healthy;
    private readonly double[] _values;
    private readonly string?[] _classes;
    private readonly ImmutableArray<FuseProbe> _fuses;
    private readonly ImmutableArray<(string Name, int Node, bool IsInsulated)> _places;

    /// <param name="amplifier">The amplifier.</param>
    /// <param name="healthy">A workspace with its healthy operating point.</param>
    public FaultedState(Amplifier amplifier, Workspace healthy)
    {
        _amplifier = amplifier;
        _plan = StressPlan.Of(amplifier).In(StressCondition.Idle);
        _healthy = new double[_plan.Points.Length];
        _values = new double[_plan.Points.Length];
        _plan.Read(healthy, _healthy);
        HealthyVolts = healthy.Volts.ToArray();
        _classes =
        [
            .. _plan.Points.Select(point =>
                Endurance.ClassOf(point.Item.Kind, amplifier.FindPart(point.Item.Part))
            ),
        ];
        _fuses = FuseProbe.Of(amplifier);
        _places = TouchPlaces.Of(amplifier, HealthyVolts);
    }

    /// <summary>Volts by node of the healthy circuit.</summary>
    public double[] HealthyVolts { get; }

    /// <summary>Reads the stresses; how bad they are as one number, to compare states of one fault: 0 when nothing is past its limit.</summary>
    public double Measure(Workspace workspace)
    {
        _plan.Read(workspace, _values);
        var badness = 0.0;
        for (var i = 0; i < _values.Length; i++)
        {
            if (IsOver(i))
            {
                badness += Math.Log(_values[i] / _plan.Points[i].Item.Limit!.Value) + 0.1;
            }
        }
        foreach (var (_, node, _) in _places)
        {
            if (IsExposed(workspace, node))
            {
                badness += 1 + Math.Log(Math.Abs(workspace.Volts[node]) / TouchPlaces.LeastVolts);
            }
        }
        return badness;
    }

    /// <summary>What was last measured, in full.</summary>
    public (ImmutableArray<Overload> Overloads, ImmutableArray<FuseEvent> Fuses) Describe(
        Workspace workspace
    )
    {
        var fuses = ImmutableArray.CreateBuilder<FuseEvent>();
        var opened = double.PositiveInfinity;
        foreach (var fuse in _fuses)
        {
            var amps = fuse.Amps(workspace);
            if (amps > fuse.Data.RatedAmps)
            {
                var overloaded = fuse.At(amps, "");
                fuses.Add(overloaded);
                opened = Math.Min(opened, overloaded.Opening?.Most ?? double.PositiveInfinity);
            }
        }
        var overloads = ImmutableArray.CreateBuilder<Overload>();
        for (var i = 0; i < _values.Length; i++)
        {
            var item = _plan.Points[i].Item;
            if (!IsOver(i) || item.Kind == StressKind.FuseCurrent)
            {
                continue;
            }
            var limit = item.Limit!.Value;
            var seconds = _classes[i] is { } class_
                ? Endurance.Seconds(class_, _values[i] / limit, _healthy[i] / limit)
                : double.NaN;
            overloads.Add(new(item, _values[i], _healthy[i], seconds, seconds > opened));
        }
        return ([.. overloads.OrderByDescending(overload => overload.Ratio)], fuses.ToImmutable());
    }

    /// <summary>
    /// The places where a hand would find too much: solves again with a body at each.
    /// </summary>
    /// <param name="workspace">Solved with the fault; afterwards not as it was.</param>
    /// <param name="apply">Puts the fault into the workspace anew.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public ImmutableArray<TouchHazard> FindHazards(
        Workspace workspace,
        Action apply,
        CancellationToken cancellationToken
    )
    {
        var exposed = _places
            .Where(place => IsExposed(workspace, place.Node))
            .Select(place => (place, Volts: workspace.Volts[place.Node]))
            .ToArray();
        if (exposed.Length == 0)
        {
            return [];
        }
        var volts = workspace.Volts.ToArray();
        var hazards = new List<TouchHazard>();
        foreach (var ((name, node, isInsulated), open) in exposed)
        {
            apply();
            workspace.Bridge(node, 0, TouchPlaces.BodyOhms);
            var amps = workspace.Solve(volts, cancellationToken).Converged
                ? workspace.Volts[node] / TouchPlaces.BodyOhms
                : open / TouchPlaces.BodyOhms;
            if (TouchPlaces.LevelOf(open, amps) is { } level)
            {
                hazards.Add(new(name, open, amps, level, isInsulated));
            }
        }
        return
        [
            .. hazards
                .GroupBy(hazard => hazard.Place)
                .Select(place => place.MaxBy(hazard => Math.Abs(hazard.Amps))!)
                .OrderBy(hazard => hazard.IsInsulated)
                .ThenByDescending(hazard => hazard.Level)
                .ThenByDescending(hazard => Math.Abs(hazard.Volts)),
        ];
    }

    private bool IsOver(int point) =>
        _plan.Points[point].Item.Limit is { } limit
        && _values[point] > limit
        && _values[point] > LeastRise * _healthy[point];

    private bool IsExposed(Workspace workspace, int node) =>
        Math.Abs(workspace.Volts[node]) > TouchPlaces.LeastVolts
        && Math.Abs(HealthyVolts[node]) <= TouchPlaces.LeastVolts;
}
