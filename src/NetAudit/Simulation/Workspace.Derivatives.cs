using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation;

// d(reading)/d(value) = (what the value moves directly) - adjoint' dF/d(value), with dF/d(value) from the elements, at the point in Trial.
public sealed unsafe partial class Workspace
{
    // Relative step of the central difference by which a semiconductor's few parameters are differentiated.
    private const double ParameterStep = 1e-5;

    // No semiconductor has more flows.
    private const int MostFlows = 4;

    private readonly DerivativePlan _plan;
    private readonly double[] _foldedDirections;
    private readonly double[] _foldedResponses;
    private readonly double[] _semiconductorResponses;
    private bool _responsesKnown;

    private void Differentiate(in Probe probe, ReadOnlySpan<int> columns, Span<double> row)
    {
        var count = _plan.Rules.Length;
        var siemens = _m.Siemens;
        var v = _m.Trial;
        var a = _m.Adjoint;
        fixed (int* links = _links.Conductances)
        {
            for (var i = 0; i < columns.Length; i++)
            {
                var column = columns[i];
                if (column >= count)
                {
                    row[i] = -EditInnerProduct(column - count);
                    continue;
                }
                var target = _plan.Targets[column];
                if (_plan.Rules[column] == DerivativeRule.Conductance)
                {
                    // dG/dR = -G^2.
                    var at = links + 8 * target;
                    var g = siemens[target];
                    row[i] = g * g * (v[at[0]] - v[at[1]]) * (a[at[2]] - a[at[3]]);
                }
                else
                {
                    row[i] = DerivativeBy(probe, column, target);
                }
            }
        }
    }

    private double DerivativeBy(in Probe probe, int parameter, int target)
    {
        switch (_plan.Rules[parameter])
        {
            case DerivativeRule.FlowStrength:
                return -UnitFlow(target) * FlowAdjoint(target);
            case DerivativeRule.Offset:
                return -OffsetInnerProduct(target);
            case DerivativeRule.Folded:
                return DerivativeByFolded(probe, target);
            case DerivativeRule.Constant:
                return -ConstantInnerProduct(target);
            case DerivativeRule.Gain:
                return -LinearInnerProduct(target, _elementStrength[target]);
            case DerivativeRule.LinearStrength:
                return -LinearInnerProduct(target, _elementValue[target]);
            case DerivativeRule.Semiconductor:
                return -SemiconductorInnerProduct(parameter);
            default:
                return 0;
        }
    }

    // Current of a behavioural source at strength 1, at the point in Trial, which the meter's load has moved a little from V.
    private double UnitFlow(int flow)
    {
        var moved = 0.0;
        foreach (var i in _t.PartialsOf[flow])
        {
            var column = _links.PortColumn[_t.Partials[i].ColumnPort];
            moved += _m.Partials[i] * (_m.Trial[column] - _m.V[column]);
        }
        var strength = _elementStrength[_t.Flows[flow].Element];
        return _m.UnitFlows[flow] + (strength == 0 ? 0 : moved / strength);
    }

    private double FlowAdjoint(int flow) =>
        _m.Adjoint[_links.FlowRows[2 * flow]] - _m.Adjoint[_links.FlowRows[2 * flow + 1]];

    private double ConstantInnerProduct(int e)
    {
        if (_elementJoint[e] >= CompiledCircuit.OpenResistance)
        {
            return 0;
        }
        var sum = 0.0;
        for (
            var i = _t.FirstConstantOf[e];
            i < _t.ConstantStamps.Length && _t.ConstantStamps[i].Element == e;
            i++
        )
        {
            sum += _t.ConstantStamps[i].Sign * _m.Adjoint[_links.ConstantRow[i]];
        }
        return sum;
    }

    private double LinearInnerProduct(int e, double other)
    {
        var sum = 0.0;
        for (
            var i = _t.FirstLinearOf[e];
            i < _t.LinearStamps.Length && _t.LinearStamps[i].Element == e;
            i++
        )
        {
            var pin = _t.Ports[_t.LinearStamps[i].ColumnPort].Pin;
            var volts = _m.Trial[_links.LinearColumn[i]] + (pin < 0 ? 0 : _pinOffset[pin]);
            sum += _m.Adjoint[_links.LinearRow[i]] * _t.LinearStamps[i].PerValue * other * volts;
        }
        return sum;
    }

    // An offset moves what the control inputs behind the pin see.
    private double OffsetInnerProduct(int pin)
    {
        var sum = 0.0;
        foreach (var i in _t.LawPartialsBehind[pin])
        {
            sum += _m.Partials[i] * FlowAdjoint(_t.Partials[i].Flow);
        }
        foreach (var i in _t.ControlStamps)
        {
            if (_t.Ports[_t.LinearStamps[i].ColumnPort].Pin == pin)
            {
                sum += _m.Linear[i] * _m.Adjoint[_links.LinearRow[i]];
            }
        }
        return sum;
    }

    private double SemiconductorInnerProduct(int parameter)
    {
        FindResponses();
        var instance = _t.Semiconductors[_t.SemiconductorOf[Circuit.Parameters[parameter].Index]];
        var sum = 0.0;
        for (var i = 0; i < instance.Device.Flows.Length; i++)
        {
            sum +=
                _semiconductorResponses[parameter * MostFlows + i]
                * FlowAdjoint(instance.FirstFlow + i);
        }
        return sum;
    }

    // dF/d(parameter) of every semiconductor, by flow: central differences of its own currents.
    private void FindSemiconductorResponses()
    {
        var results = _m.Results;
        fixed (int* inputColumn = _links.InputColumn)
        {
            for (var parameter = 0; parameter < _plan.Rules.Length; parameter++)
            {
                if (_plan.Rules[parameter] != DerivativeRule.Semiconductor)
                {
                    continue;
                }
                var (kind, e, _) = Circuit.Parameters[parameter];
                var instance = _t.Semiconductors[_t.SemiconductorOf[e]];
                var response = _semiconductorResponses.AsSpan(parameter * MostFlows, MostFlows);
                response.Clear();
                for (var side = -1; side <= 1; side += 2)
                {
                    var frame = Frame(instance, _m.V, inputColumn);
                    frame.Flows = results;
                    frame.Partials = results + MostFlows;
                    var step = side * ParameterStep;
                    frame.Strength += kind == ParameterKind.Strength ? step : 0;
                    frame.Gain += kind == ParameterKind.Gain ? step : 0;
                    frame.Offset += kind == ParameterKind.Threshold ? step : 0;
                    instance.Device.Evaluate(ref frame);
                    for (var i = 0; i < instance.Device.Flows.Length; i++)
                    {
                        response[i] += side * results[i] / (2 * ParameterStep);
                    }
                }
            }
        }
    }

    // A folded source moves every node beyond it, up to the next joint: dF/dV is the sum of the Jacobian's columns there, and the load
    // sees the probe's own nodes move.
    private double DerivativeByFolded(in Probe probe, int source)
    {
        FindResponses();
        fixed (
            double* directions = _foldedDirections,
                responses = _foldedResponses
        )
        {
            var direction = directions + source * _t.IndexCount;
            var moved =
                direction[_nodeColumn[probe.Positive]] - direction[_nodeColumn[probe.Negative]];
            var acrossLoad =
                _m.Adjoint[_nodeRow[probe.Positive]] - _m.Adjoint[_nodeRow[probe.Negative]];
            return moved
                - Load(probe) * moved * acrossLoad
                - Dot(responses + source * _t.IndexCount, _m.Adjoint, _t.FirstEdit + _places);
        }
    }

    // What is the same for every probe: worked out once for a solution, when the first probe asks.
    private void FindResponses()
    {
        if (!_responsesKnown)
        {
            _responsesKnown = true;
            FindFoldedResponses();
            FindSemiconductorResponses();
        }
    }

    // dF/dV of every folded source, by row.
    private void FindFoldedResponses()
    {
        Array.Clear(_foldedDirections);
        Array.Clear(_foldedResponses);
        fixed (
            double* directions = _foldedDirections,
                responses = _foldedResponses
        )
        {
            for (var source = 0; source < _plan.FoldedSources.Count; source++)
            {
                var direction = directions + source * _t.IndexCount;
                var response = responses + source * _t.IndexCount;
                var e = _plan.FoldedSources[source];
                if (FindTree(e) is >= 0 and var edit)
                {
                    // Behind a joint of its own the source drives a current through it.
                    var (_, row, volts) = OuterSide(_edits[edit]);
                    var sign = Math.CopySign(1, volts * _elementValue[e]);
                    var g = JointSiemens(_edits[edit]);
                    response[_edits[edit].Place] -= sign * g;
                    response[row] += sign * g;
                    continue;
                }
                foreach (var (group, parent, element, sign) in _t.Folding.FixedSteps)
                {
                    direction[_t.UnknownCount + group] =
                        element == e ? sign
                        : _places > 0 && FindTree(element) >= 0 ? 0
                        : direction[_nodeColumn[parent]];
                }
                MultiplyByJacobian(direction, response);
            }
        }
    }

    private int FindTree(int element)
    {
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Kind == EditKind.Tree && _edits[i].Element == element)
            {
                return i;
            }
        }
        return -1;
    }

    // result = J direction, element by element, columns of fixed nodes included.
    private void MultiplyByJacobian(double* direction, double* result)
    {
        for (var i = 0; i < _t.Conductances.Length; i++)
        {
            var at = _links.Conductances.AsSpan(8 * i, 8);
            var change = _m.Siemens[i] * (direction[at[0]] - direction[at[1]]);
            result[at[2]] += change;
            result[at[3]] -= change;
        }
        for (var i = 0; i < _t.LinearStamps.Length; i++)
        {
            result[_links.LinearRow[i]] += _m.Linear[i] * direction[_links.LinearColumn[i]];
        }
        for (var i = 0; i < _t.Partials.Length; i++)
        {
            var (flow, columnPort) = _t.Partials[i];
            var change = _m.Partials[i] * direction[_links.PortColumn[columnPort]];
            result[_links.FlowRows[2 * flow]] += change;
            result[_links.FlowRows[2 * flow + 1]] -= change;
        }
        for (var i = 0; i < _editCount; i++)
        {
            ref var edit = ref _edits[i];
            if (edit.Kind is EditKind.Joint or EditKind.Tree)
            {
                var (column, row, _) = OuterSide(edit);
                var change = JointSiemens(edit) * direction[column];
                result[edit.Place] -= change;
                result[row] += change;
            }
            else if (edit.Kind == EditKind.Bridge)
            {
                result[edit.Place] +=
                    direction[_nodeColumn[edit.A]] - direction[_nodeColumn[edit.B]];
            }
        }
    }

    // adjoint' dF/d(value of the edit).
    private double EditInnerProduct(int index)
    {
        var edit = _edits[index];
        var v = _m.Trial;
        var a = _m.Adjoint;
        switch (edit.Kind)
        {
            case EditKind.Injection:
                return a[_nodeRow[edit.A]] - a[_nodeRow[edit.B]];
            case EditKind.Bridge:
                return -v[edit.Place] * a[edit.Place];
            case EditKind.Joint:
            case EditKind.Tree:
            case EditKind.None when edit.Place >= 0:
                // The second joint of a folded element shares the first one's place.
                if (edit.Kind == EditKind.None)
                {
                    edit = _edits[FindPlace(edit.Place)];
                }
                var (column, row, volts) = OuterSide(edit);
                var g = JointSiemens(edit);
                return -g * g * (v[edit.Place] - v[column] - volts) * (a[edit.Place] - a[row]);
            case EditKind.Series when _t.ConductanceOf[edit.Element] is >= 0 and var at:
                var links = _links.Conductances.AsSpan(8 * at, 8);
                return -_m.Siemens[at]
                    * _m.Siemens[at]
                    * (v[links[0]] - v[links[1]])
                    * (a[links[2]] - a[links[3]]);
            default:
                return 0;
        }
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
