using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation;

// dF/d(value) where it is the same for every meter and takes work: worked out once for a solution, when the first derivative asks.
public sealed unsafe partial class Workspace
{
    // Relative step of the central difference by which a semiconductor's few parameters are differentiated.
    private const double ParameterStep = 1e-5;

    // No semiconductor has more flows.
    private const int MostFlows = 4;

    private readonly double[] _foldedDirections;
    private readonly double[] _foldedResponses;
    private readonly int[] _foldedRows;
    private readonly int[] _foldedRowCount;
    private readonly double[] _semiconductorResponses;
    private bool _responsesKnown;

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
        ListFoldedRows();
    }

    // Few rows of a response are not zero.
    private void ListFoldedRows()
    {
        var used = _t.FirstEdit + _places;
        for (var source = 0; source < _foldedRowCount.Length; source++)
        {
            var first = source * _t.IndexCount;
            var count = 0;
            for (var row = 0; row < used; row++)
            {
                if (_foldedResponses[first + row] != 0 && !IsFixed(row))
                {
                    _foldedRows[first + count++] = row;
                }
            }
            _foldedRowCount[source] = count;
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
}
