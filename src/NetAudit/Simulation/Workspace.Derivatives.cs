using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using NetAudit.Simulation.Compilation;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

// d(reading)/d(value) = (what the value moves directly) - adjoint' dF/d(value), with dF/d(value) from the elements, at the point to
// which each meter has moved the circuit: V plus its shifts. Rule by rule, for eight meters at once.
public sealed unsafe partial class Workspace
{
    private const int MostPlans = 16;

    private readonly DerivativePlan _plan;
    private readonly List<ColumnPlan> _columnPlans = new(MostPlans);

    // Callers come back with the same few lists.
    private ColumnPlan PlanFor(ReadOnlySpan<int> columns)
    {
        foreach (var plan in _columnPlans)
        {
            if (plan.IsFor(columns))
            {
                return plan;
            }
        }
        if (_columnPlans.Count == MostPlans)
        {
            _columnPlans.RemoveAt(0);
        }
        var added = new ColumnPlan(columns, _plan, _t);
        _columnPlans.Add(added);
        return added;
    }

    // Slopes by column, a lane for each probe.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Differentiate(
        ReadOnlySpan<Probe> probes,
        ColumnPlan plan,
        Lanes* adjoints,
        Lanes* shifts,
        Lanes* slopes,
        Lanes* direct = null
    )
    {
        foreach (var (column, _) in plan.Idle)
        {
            slopes[column] = Lanes.Zero;
        }
        DifferentiateByConductances(plan.Conductances, adjoints, shifts, slopes);
        DifferentiateByStrengths(plan.FlowStrengths, adjoints, shifts, slopes);
        DifferentiateByOffsets(plan, adjoints, slopes);
        DifferentiateByConstants(plan.Constants, adjoints, slopes);
        foreach (var (column, element) in plan.Gains)
        {
            slopes[column] = LinearSlope(element, _elementStrength[element], adjoints, shifts);
        }
        foreach (var (column, element) in plan.LinearStrengths)
        {
            slopes[column] = LinearSlope(element, _elementValue[element], adjoints, shifts);
        }
        if (plan.Folded.Length + plan.Semiconductors.Length + _supplies.Length > 0)
        {
            FindResponses();
            DifferentiateByFolded(probes, plan.Folded, adjoints, slopes, direct);
            DifferentiateBySemiconductors(plan.Semiconductors, adjoints, slopes);
        }
        DifferentiateBySupplies(plan.Supplies, adjoints, slopes);
        foreach (var (column, edit) in plan.Edits)
        {
            slopes[column] = EditSlope(edit, adjoints, shifts);
            if (_supplies.Length > 0 && _edits[edit].Kind is EditKind.Series or EditKind.None)
            {
                slopes[column] += SupplyEditSlope(_edits[edit].Element, adjoints);
            }
        }
    }

    // dG/dR = -G^2.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DifferentiateByConductances(
        ColumnTarget[] columns,
        Lanes* a,
        Lanes* shifts,
        Lanes* slopes
    )
    {
        var siemens = _m.Siemens;
        var v = _m.V;
        fixed (int* links = _links.Conductances)
        {
            foreach (var (column, target) in columns)
            {
                var at = links + 8 * target;
                var g = siemens[target];
                var volts = Vector512.Create(v[at[0]] - v[at[1]]) + (shifts[at[0]] - shifts[at[1]]);
                slopes[column] = g * g * volts * (a[at[2]] - a[at[3]]);
            }
        }
    }

    // Current of a behavioural source at strength 1, where the load has moved it to.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DifferentiateByStrengths(
        ColumnTarget[] columns,
        Lanes* a,
        Lanes* shifts,
        Lanes* slopes
    )
    {
        foreach (var (column, flow) in columns)
        {
            var strength = _elementStrength[_t.Flows[flow].Element];
            var moved = Lanes.Zero;
            foreach (var i in _t.PartialsOf[flow])
            {
                moved += _m.Partials[i] * shifts[_links.PortColumn[_t.Partials[i].ColumnPort]];
            }
            var unit =
                Vector512.Create(_m.UnitFlows[flow])
                + (strength == 0 ? Lanes.Zero : moved * (1 / strength));
            slopes[column] = -unit * FlowAdjoint(flow, a);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private Lanes FlowAdjoint(int flow, Lanes* a) =>
        a[_links.FlowRows[2 * flow]] - a[_links.FlowRows[2 * flow + 1]];

    // An offset moves what the control inputs behind the pin see.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DifferentiateByOffsets(ColumnPlan plan, Lanes* a, Lanes* slopes)
    {
        for (var k = 0; k < plan.Offsets.Length; k++)
        {
            var (column, pin) = plan.Offsets[k];
            var sum = Lanes.Zero;
            foreach (var i in _t.LawPartialsBehind[pin])
            {
                sum += _m.Partials[i] * FlowAdjoint(_t.Partials[i].Flow, a);
            }
            foreach (var i in plan.OffsetControls[k])
            {
                sum += _m.Linear[i] * a[_links.LinearRow[i]];
            }
            slopes[column] = -sum;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DifferentiateByConstants(ColumnTarget[] columns, Lanes* a, Lanes* slopes)
    {
        foreach (var (column, element) in columns)
        {
            var sum = Lanes.Zero;
            for (
                var i = _t.FirstConstantOf[element];
                i < _t.ConstantStamps.Length
                    && _t.ConstantStamps[i].Element == element
                    && _elementJoint[element] < CompiledCircuit.OpenResistance;
                i++
            )
            {
                sum += _t.ConstantStamps[i].Sign * a[_links.ConstantRow[i]];
            }
            slopes[column] = -sum;
        }
    }

    private Lanes LinearSlope(int element, double other, Lanes* a, Lanes* shifts)
    {
        var sum = Lanes.Zero;
        for (
            var i = _t.FirstLinearOf[element];
            i < _t.LinearStamps.Length && _t.LinearStamps[i].Element == element;
            i++
        )
        {
            ref readonly var stamp = ref _t.LinearStamps[i];
            var pin = _t.Ports[stamp.ColumnPort].Pin;
            var volts = _m.V[_links.LinearColumn[i]] + (pin < 0 ? 0 : _pinOffset[pin]);
            sum +=
                stamp.PerValue
                * other
                * a[_links.LinearRow[i]]
                * (Vector512.Create(volts) + shifts[_links.LinearColumn[i]]);
        }
        return -sum;
    }

    // A folded source moves every node beyond it, up to the next joint: dF/dV is the sum of the Jacobian's columns there, and the load
    // sees the probe's own nodes move. What is differentiated may depend on fixed nodes directly, by as much as direct says.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DifferentiateByFolded(
        ReadOnlySpan<Probe> probes,
        ColumnTarget[] columns,
        Lanes* a,
        Lanes* slopes,
        Lanes* direct
    )
    {
        foreach (var (column, source) in columns)
        {
            var direction = _foldedDirections[source];
            var sum = Lanes.Zero;
            foreach (
                var (row, value) in _foldedEntries[source].AsSpan(0, _foldedEntryCount[source])
            )
            {
                sum += value * a[row];
            }
            var slope = -sum;
            for (var i = _t.UnknownCount; direct != null && i < _t.Discard; i++)
            {
                slope += direct[i] * direction[i];
            }
            for (var lane = 0; lane < probes.Length; lane++)
            {
                ref readonly var probe = ref probes[lane];
                var moved =
                    direction[_nodeColumn[probe.Positive]] - direction[_nodeColumn[probe.Negative]];
                if (moved != 0)
                {
                    var acrossLoad =
                        At(a, _nodeRow[probe.Positive], lane)
                        - At(a, _nodeRow[probe.Negative], lane);
                    At(&slope, 0, lane) += moved - Load(probe) * moved * acrossLoad;
                }
            }
            slopes[column] = slope;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DifferentiateBySemiconductors(ColumnTarget[] columns, Lanes* a, Lanes* slopes)
    {
        foreach (var (column, parameter) in columns)
        {
            var element = Circuit.Parameters[parameter].Index;
            var instance = _t.Semiconductors[_t.SemiconductorOf[element]];
            var sum = Lanes.Zero;
            for (var i = 0; i < instance.Device.Flows.Length; i++)
            {
                sum +=
                    _semiconductorResponses[parameter * MostFlows + i]
                    * FlowAdjoint(instance.FirstFlow + i, a);
            }
            slopes[column] = -sum;
        }
    }

    // The same for the value of an edit.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private Lanes EditSlope(int index, Lanes* a, Lanes* shifts)
    {
        var edit = _edits[index];
        var v = _m.V;
        switch (edit.Kind)
        {
            case EditKind.Injection:
                return a[_nodeRow[edit.B]] - a[_nodeRow[edit.A]];
            case EditKind.Bridge:
                return (Vector512.Create(v[edit.Place]) + shifts[edit.Place]) * a[edit.Place];
            case EditKind.Joint:
            case EditKind.Tree:
            case EditKind.None when edit.Place >= 0:
                // The second joint of a folded element shares the first one's place.
                if (edit.Kind == EditKind.None)
                {
                    edit = _edits[FindPlace(edit.Place)];
                }
                var (column, row, volts) = OuterSide(edit);
                return Slope(
                    JointSiemens(edit),
                    v[edit.Place] - v[column] - volts,
                    shifts[edit.Place] - shifts[column],
                    a[edit.Place] - a[row]
                );
            case EditKind.Series when _t.BranchOf[edit.Element] is >= 0 and var branch:
                return (Vector512.Create(v[branch]) + shifts[branch]) * a[branch];
            case EditKind.Series when _t.ConductanceOf[edit.Element] is >= 0 and var at:
                var links = _links.Conductances.AsSpan(8 * at, 8);
                return Slope(
                    _m.Siemens[at],
                    v[links[0]] - v[links[1]],
                    shifts[links[0]] - shifts[links[1]],
                    a[links[2]] - a[links[3]]
                );
            default:
                return Lanes.Zero;
        }

        static Lanes Slope(double siemens, double volts, Lanes shift, Lanes adjoint) =>
            siemens * siemens * (Vector512.Create(volts) + shift) * adjoint;
    }

    private int FindPlace(int place)
    {
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Place == place && _edits[i].Kind != EditKind.None)
            {
                return i;
            }
        }
        return -1;
    }
}
