using System.Runtime.CompilerServices;
using NetAudit.Circuits;
using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation;

// The Jacobian J of the equations, of which the constant part is kept from one evaluation to the next.
public sealed unsafe partial class Workspace
{
    private const double LeastOhms = 1e-6;

    // Added to the leakage at every node, towards the reference: the two continuation methods.
    private double _shunt;

    // Factor on every independent source.
    private double _sourceScale = 1;

    private double ElementVolts(int element) => _sourceScale * _elementValue[element];

    // Everything that depends on parameters and edits but not on the solution.
    private bool PrepareStatic()
    {
        StampStatic(_m.Static);
        _stale = false;
        return _program.FactorStatic(_m.Static, _m.Inverse);
    }

    /// <summary>The constant part of the Jacobian before any elimination.</summary>
    internal void StampStatic(double* values)
    {
        Array.Clear(_elementJoint);
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Element >= 0)
            {
                _elementJoint[_edits[i].Element] = SeriesOhms(_edits[i].Element);
            }
        }
        new Span<double>(values, Links.ValueCount(_program)).Clear();
        var conductances = _t.Conductances;
        fixed (int* links = _links.Conductances)
        {
            for (var i = 0; i < conductances.Length; i++)
            {
                var g = Siemens(conductances[i]);
                _m.Siemens[i] = g;
                var at = links + 8 * i;
                values[at[4]] += g;
                values[at[5]] -= g;
                values[at[6]] -= g;
                values[at[7]] += g;
            }
        }
        var stamps = _t.LinearStamps;
        for (var i = 0; i < stamps.Length; i++)
        {
            var value = stamps[i].Constant;
            if (stamps[i].Element >= 0)
            {
                var e = stamps[i].Element;
                value += stamps[i].PerValue * _elementValue[e] * _elementStrength[e];
            }
            _m.Linear[i] = value;
            values[_links.LinearSlot[i]] += value;
        }
        if (_t.IsDynamic)
        {
            StampCompanions(values);
        }
        for (var i = 0; i < _t.DiagonalSlots.Length; i++)
        {
            values[_t.DiagonalSlots[i]] += _t.LeakageSiemens[i] + _shunt;
        }
        StampEdits(values, Topology.TraceLeakage + _shunt);
    }

    private double Siemens(in Conductance conductance)
    {
        var e = conductance.Element;
        if (e < 0)
        {
            return conductance.Siemens;
        }
        var ohms = _elementValue[e];
        if (double.IsInfinity(ohms))
        {
            ohms = CompiledCircuit.OpenResistance;
        }
        else if (Math.Abs(ohms) < LeastOhms)
        {
            ohms = ohms < 0 ? -LeastOhms : LeastOhms;
        }
        return 1 / (ohms + _elementJoint[e]);
    }

    // Groups of known voltage, relative to chassis or to the unknown of the joint they float on.
    private void FollowFixed(double* v)
    {
        var n = _t.UnknownCount;
        foreach (var (group, parent, element, sign) in _t.Folding.FixedSteps)
        {
            if (_places == 0 || FindTree(element) < 0)
            {
                v[n + group] = v[_nodeColumn[parent]] + sign * ElementVolts(element);
            }
        }
    }

    // A joint is a conductance from its unknown to the node outside; for a folded source, to the parent with the source between.
    private void StampEdits(double* values, double leakage)
    {
        for (var i = 0; i < _editCount; i++)
        {
            ref var edit = ref _edits[i];
            var place = edit.Place;
            switch (edit.Kind)
            {
                case EditKind.Series
                    when _t.BranchDiagonalOf[edit.Element] is >= 0 and var diagonal:
                    _m.Linear[diagonal] -= JointOhms(edit.Value);
                    values[_links.LinearSlot[diagonal]] -= JointOhms(edit.Value);
                    break;
                case EditKind.Joint:
                case EditKind.Tree:
                    var g = JointSiemens(edit);
                    var (column, row, _) = OuterSide(edit);
                    values[Slot(place, place)] += g + leakage;
                    values[Slot(place, column)] -= g;
                    values[Slot(row, place)] -= g;
                    values[Slot(row, column)] += g;
                    break;
                case EditKind.Bridge:
                    values[Slot(place, _nodeColumn[edit.A])] += 1;
                    values[Slot(place, _nodeColumn[edit.B])] -= 1;
                    values[Slot(_nodeRow[edit.A], place)] += 1;
                    values[Slot(_nodeRow[edit.B], place)] -= 1;
                    values[Slot(place, place)] -= BridgeOhms(edit);
                    break;
            }
        }
    }

    private int Slot(int row, int column) => _links.Slot(_program, row, column);

    private double JointSiemens(in Edit edit) =>
        1 / (edit.Kind == EditKind.Tree ? _elementJoint[edit.Element] : JointOhms(edit.Value));

    // Column, row and added volts of the side of a joint that is not its unknown.
    private (int Column, int Row, double Volts) OuterSide(in Edit edit)
    {
        if (edit.Kind == EditKind.Joint)
        {
            return (_nodeColumn[edit.A], _nodeRow[edit.A], 0);
        }
        var parent = _t.Folding.ParentNode[edit.A];
        var element = Circuit.Circuit.Elements[edit.Element];
        var volts =
            element is VoltageSource
                ? ElementVolts(edit.Element) * (element.Terminals[0].Node == edit.A ? 1 : -1)
                : 0;
        return (_nodeColumn[parent], _nodeRow[parent], volts);
    }

    // Two shorts side by side would leave their currents undetermined: a micro-ohm settles it. So would a short between nodes that are
    // fixed against each other: a joint's least resistance there keeps the current within reason.
    private double BridgeOhms(in Edit edit)
    {
        var a = _links.Alias[_nodeColumn[edit.A]];
        var b = _links.Alias[_nodeColumn[edit.B]];
        var least = a == b || (IsFixed(a) && IsFixed(b)) ? LeastJointOhms : LeastOhms;
        return Math.Clamp(edit.Value, least, CompiledCircuit.OpenResistance);
    }

    private bool IsFixed(int index) => index >= _t.UnknownCount && index < _t.FirstEdit;

    /// <summary>Factors the Jacobian at the point last evaluated.</summary>
    private bool Factor()
    {
        var n = _t.UnknownCount;
        var lu = _m.Lu;
        var count = _program.ValueCount + 1;
        Copy(_m.Static, lu, count + _places * n);
        if (_places > 0)
        {
            var rows = count + Topology.MostPlaces * n;
            Copy(_m.Static + rows, lu + rows, _places * n);
            var corner = count + 2 * Topology.MostPlaces * n;
            Copy(_m.Static + corner, lu + corner, Topology.MostPlaces * Topology.MostPlaces);
        }
        fixed (int* slots = _links.PartialSlots)
        {
            var partials = _m.Partials;
            for (var i = 0; i < _t.Partials.Length; i++)
            {
                lu[slots[2 * i]] += partials[i];
                lu[slots[2 * i + 1]] -= partials[i];
            }
        }
        return _program.FactorDynamic(lu, _m.Inverse) && (_places == 0 || FactorEdits());
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Copy(double* from, double* to, int count) =>
        Buffer.MemoryCopy(from, to, (long)count * sizeof(double), (long)count * sizeof(double));
}
