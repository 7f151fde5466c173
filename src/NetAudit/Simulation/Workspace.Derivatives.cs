using NetAudit.Circuits;

namespace NetAudit.Simulation;

// d(reading)/d(value) = (what the value moves directly) - adjoint' dF/d(value), with dF/d(value) from the elements, at the point in Trial.
public sealed unsafe partial class Workspace
{
    // Relative step of the central difference by which a semiconductor's few parameters are differentiated.
    private const double ParameterStep = 1e-5;

    private void Differentiate(in Probe probe, ReadOnlySpan<int> columns, Span<double> row)
    {
        var count = Circuit.Parameters.Length;
        for (var i = 0; i < columns.Length; i++)
        {
            row[i] =
                columns[i] < count
                    ? DerivativeBy(probe, Circuit.Parameters[columns[i]])
                    : -EditInnerProduct(columns[i] - count);
        }
    }

    private double DerivativeBy(in Probe probe, in Parameter parameter)
    {
        switch (parameter.Kind)
        {
            case ParameterKind.Value:
                return DerivativeByValue(probe, parameter.Index);
            case ParameterKind.Offset:
                return -OffsetInnerProduct(parameter.Index);
            case ParameterKind.Strength when _t.FirstFlowOf[parameter.Index] is >= 0 and var flow:
                return -UnitFlow(flow) * FlowAdjoint(flow);
            case ParameterKind.Strength when _t.FirstLinearOf[parameter.Index] >= 0:
                return -LinearInnerProduct(parameter.Index, _elementValue[parameter.Index]);
            default:
                return -SemiconductorInnerProduct(parameter);
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

    private double DerivativeByValue(in Probe probe, int e)
    {
        switch (Circuit.Circuit.Elements[e])
        {
            case Resistor:
                var at = _t.ConductanceOf[e];
                var links = _links.Conductances.AsSpan(8 * at, 8);
                var g = _m.Siemens[at];
                // dG/dR = -G^2.
                return g
                    * g
                    * (_m.Trial[links[0]] - _m.Trial[links[1]])
                    * (_m.Adjoint[links[2]] - _m.Adjoint[links[3]]);
            case CurrentSource when _elementJoint[e] >= CompiledCircuit.OpenResistance:
                return 0;
            case VoltageSource when _t.BranchOf[e] < 0:
                return DerivativeByFolded(probe, e);
            case VoltageSource or CurrentSource:
                var sum = 0.0;
                for (
                    var i = _t.FirstConstantOf[e];
                    i < _t.ConstantStamps.Length && _t.ConstantStamps[i].Element == e;
                    i++
                )
                {
                    sum -= _t.ConstantStamps[i].Sign * _m.Adjoint[_links.ConstantRow[i]];
                }
                return sum;
            case VoltageControlledSource or CurrentControlledSource:
                return -LinearInnerProduct(e, _elementStrength[e]);
            default:
                return 0;
        }
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
        for (var i = 0; i < _t.Partials.Length; i++)
        {
            var (flow, columnPort) = _t.Partials[i];
            if (_t.Ports[columnPort].Pin == pin && _t.IsLawFlow(flow))
            {
                sum += _m.Partials[i] * FlowAdjoint(flow);
            }
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

    private double SemiconductorInnerProduct(in Parameter parameter)
    {
        var e = parameter.Index;
        var instance = _t.Semiconductors[_t.SemiconductorOf[e]];
        var flows = instance.Device.Flows.Length;
        var sum = 0.0;
        var results = _m.Results;
        fixed (int* inputColumn = _links.InputColumn)
        {
            for (var side = -1; side <= 1; side += 2)
            {
                var frame = Frame(instance, _m.Trial, inputColumn);
                // Results has room for the flows and partials of any device.
                frame.Flows = results;
                frame.Partials = results + 4;
                var step = side * ParameterStep;
                switch (parameter.Kind)
                {
                    case ParameterKind.Strength:
                        frame.Strength += step;
                        break;
                    case ParameterKind.Gain:
                        frame.Gain += step;
                        break;
                    default:
                        frame.Offset += step;
                        break;
                }
                instance.Device.Evaluate(ref frame);
                for (var i = 0; i < flows; i++)
                {
                    sum += side * results[i] * FlowAdjoint(instance.FirstFlow + i);
                }
            }
        }
        return sum / (2 * ParameterStep);
    }

    // A folded source moves every node beyond it, up to the next joint: dF/dV is the sum of the Jacobian's columns there.
    private double DerivativeByFolded(in Probe probe, int e)
    {
        var folding = _t.Folding;
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Kind == EditKind.Tree && _edits[i].Element == e)
            {
                var (_, row, volts) = OuterSide(_edits[i]);
                var sign = _elementValue[e] != 0 ? volts / _elementValue[e] : 1;
                return sign
                    * JointSiemens(_edits[i])
                    * (_m.Adjoint[_edits[i].Place] - _m.Adjoint[row]);
            }
        }
        var direction = _m.Direction;
        new Span<double>(direction, _t.IndexCount).Clear();
        foreach (var (group, parent, element, sign) in folding.FixedSteps)
        {
            direction[_t.UnknownCount + group] =
                element == e ? sign
                : _places > 0 && IsFloating(element) ? 0
                : direction[_nodeColumn[parent]];
        }
        return direction[_nodeColumn[probe.Positive]]
            - direction[_nodeColumn[probe.Negative]]
            - InnerProductAlong(direction);
    }

    // adjoint' J direction, element by element.
    private double InnerProductAlong(double* direction)
    {
        var sum = 0.0;
        var a = _m.Adjoint;
        for (var i = 0; i < _t.Conductances.Length; i++)
        {
            var at = _links.Conductances.AsSpan(8 * i, 8);
            sum += _m.Siemens[i] * (direction[at[0]] - direction[at[1]]) * (a[at[2]] - a[at[3]]);
        }
        for (var i = 0; i < _t.LinearStamps.Length; i++)
        {
            sum += _m.Linear[i] * direction[_links.LinearColumn[i]] * a[_links.LinearRow[i]];
        }
        for (var i = 0; i < _t.Partials.Length; i++)
        {
            var (flow, columnPort) = _t.Partials[i];
            sum += _m.Partials[i] * direction[_links.PortColumn[columnPort]] * FlowAdjoint(flow);
        }
        for (var i = 0; i < _editCount; i++)
        {
            ref var edit = ref _edits[i];
            if (edit.Kind is EditKind.Joint or EditKind.Tree)
            {
                var (column, row, _) = OuterSide(edit);
                sum -= JointSiemens(edit) * direction[column] * (a[edit.Place] - a[row]);
            }
            else if (edit.Kind == EditKind.Bridge)
            {
                sum +=
                    (direction[_nodeColumn[edit.A]] - direction[_nodeColumn[edit.B]])
                    * a[edit.Place];
            }
        }
        return sum;
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
