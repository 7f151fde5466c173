using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation;

// dF/d(value) where it is the same for every meter and takes work: worked out once for a solution, when the first derivative asks.
public sealed unsafe partial class Workspace
{
    // Relative step of the central difference by which a semiconductor's few parameters are differentiated.
    private const double ParameterStep = 1e-5;

    // No semiconductor has more flows.
    private const int MostFlows = 4;

    // By folded source: how far each column moves per volt, and dF/dV as a list of rows, some more than once.
    private readonly double[][] _foldedDirections;
    private readonly (int Row, double Value)[][] _foldedEntries;
    private readonly int[] _foldedEntryCount;
    private readonly double[] _semiconductorResponses;
    private bool _responsesKnown;

    private void FindResponses()
    {
        if (!_responsesKnown)
        {
            _responsesKnown = true;
            FindFoldedResponses();
            FindSemiconductorResponses();
            FindSupplyResponses();
        }
    }

    private void FindFoldedResponses()
    {
        for (var source = 0; source < _foldedDirections.Length; source++)
        {
            var direction = _foldedDirections[source];
            var e = _plan.FoldedSources[source];
            _foldedEntryCount[source] = 0;
            if (FindTree(e) is >= 0 and var edit)
            {
                // Behind a joint of its own the source drives a current through it.
                Array.Clear(direction);
                var (_, row, volts) = OuterSide(_edits[edit]);
                var current =
                    Math.CopySign(1, volts * _elementValue[e]) * JointSiemens(_edits[edit]);
                AddEntry(source, row, current);
                AddEntry(source, _edits[edit].Place, -current);
                continue;
            }
            foreach (var (group, parent, element, sign) in _t.Folding.FixedSteps)
            {
                direction[_t.UnknownCount + group] =
                    element == e ? sign
                    : _places > 0 && FindTree(element) >= 0 ? 0
                    : direction[_nodeColumn[parent]];
            }
            AddJacobianTimes(source, direction);
        }
    }

    // Only what is within the source's reach can be moved.
    private void AddJacobianTimes(int source, double[] direction)
    {
        var reach = _plan.Reaches[source];
        foreach (var i in reach.Conductances)
        {
            var at = _links.Conductances.AsSpan(8 * i, 4);
            var change = _m.Siemens[i] * (direction[at[0]] - direction[at[1]]);
            AddEntry(source, at[2], change);
            AddEntry(source, at[3], -change);
        }
        foreach (var i in reach.Capacitances)
        {
            var at = _links.Capacitances.AsSpan(8 * i, 4);
            var change = _capacitorSiemens[i] * (direction[at[0]] - direction[at[1]]);
            AddEntry(source, at[2], change);
            AddEntry(source, at[3], -change);
        }
        foreach (var i in reach.LinearStamps)
        {
            var change = _m.Linear[i] * direction[_links.LinearColumn[i]];
            AddEntry(source, _links.LinearRow[i], change);
        }
        foreach (var i in reach.Partials)
        {
            var (flow, columnPort) = _t.Partials[i];
            var change = _m.Partials[i] * direction[_links.PortColumn[columnPort]];
            AddEntry(source, _links.FlowRows[2 * flow], change);
            AddEntry(source, _links.FlowRows[2 * flow + 1], -change);
        }
        for (var i = 0; i < _editCount; i++)
        {
            ref var edit = ref _edits[i];
            if (edit.Kind is EditKind.Joint or EditKind.Tree)
            {
                var (column, row, _) = OuterSide(edit);
                var change = JointSiemens(edit) * direction[column];
                AddEntry(source, edit.Place, -change);
                AddEntry(source, row, change);
            }
            else if (edit.Kind == EditKind.Bridge)
            {
                var change = direction[_nodeColumn[edit.A]] - direction[_nodeColumn[edit.B]];
                AddEntry(source, edit.Place, change);
            }
        }
    }

    private void AddEntry(int source, int row, double value)
    {
        if (value != 0 && !IsFixed(row))
        {
            _foldedEntries[source][_foldedEntryCount[source]++] = (row, value);
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
