using System.Runtime.InteropServices;
using NetAudit.Simulation.Compilation;
using NetAudit.Simulation.Devices;

namespace NetAudit.Simulation;

// F(x): the current left over in every node and the voltage left over in every branch, evaluated from the elements.
public sealed unsafe partial class Workspace
{
    /// <summary>Residual, flows and partial derivatives at v. Returns true when a junction voltage was limited.</summary>
    private bool Evaluate(double* v, bool limit)
    {
        var f = _m.F;
        new Span<double>(f, _t.IndexCount).Clear();
        EvaluateLinear(v, f);
        var limited = false;
        fixed (int* inputColumn = _links.InputColumn)
        fixed (int* inputPin = _t.InputPins)
        fixed (double* pinOffset = _pinOffset)
        {
            EvaluateLaws(v, inputColumn, inputPin, pinOffset);
            if (_t.Semiconductors.Length > 0)
            {
                limited = EvaluateSemiconductors(v, inputColumn, limit);
            }
            if (_supplies.Length > 0)
            {
                EvaluateSupplies(v, inputColumn);
            }
        }
        fixed (int* rows = _links.FlowRows)
        {
            var flows = _m.Flows;
            for (var i = 0; i < _t.Flows.Length; i++)
            {
                f[rows[2 * i]] += flows[i];
                f[rows[2 * i + 1]] -= flows[i];
            }
        }
        return limited;
    }

    private void EvaluateLinear(double* v, double* f)
    {
        fixed (int* links = _links.Conductances)
        {
            var siemens = _m.Siemens;
            for (var i = 0; i < _t.Conductances.Length; i++)
            {
                var at = links + 8 * i;
                var current = siemens[i] * (v[at[0]] - v[at[1]]);
                f[at[2]] += current;
                f[at[3]] -= current;
            }
        }
        fixed (
            int* rows = _links.LinearRow,
                columns = _links.LinearColumn
        )
        {
            var linear = _m.Linear;
            for (var i = 0; i < _t.LinearStamps.Length; i++)
            {
                f[rows[i]] += linear[i] * v[columns[i]];
            }
        }
        foreach (var i in _t.ControlStamps)
        {
            f[_links.LinearRow[i]] +=
                _m.Linear[i] * _pinOffset[_t.Ports[_t.LinearStamps[i].ColumnPort].Pin];
        }
        for (var i = 0; i < _t.ConstantStamps.Length; i++)
        {
            ref readonly var stamp = ref _t.ConstantStamps[i];
            f[_links.ConstantRow[i]] += stamp.Sign * SourceAmps(stamp.Element);
        }
        if (_t.IsDynamic)
        {
            EvaluateCompanions(v, f);
        }
        var leakage = _t.LeakageSiemens;
        for (var i = 0; i < leakage.Length; i++)
        {
            var unknown = _t.LeakageUnknowns[i];
            f[unknown] += leakage[i] * v[unknown];
            if (_shunt > 0)
            {
                f[unknown] += _shunt * (v[unknown] - _m.Reference[unknown]);
            }
        }
        if (_editCount > 0)
        {
            EvaluateEdits(v, f);
        }
    }

    // An ideal current source drives its current through any joint but an open one.
    private double SourceAmps(int element) =>
        _elementJoint[element] >= CompiledCircuit.OpenResistance ? 0 : ElementVolts(element);

    private void EvaluateEdits(double* v, double* f)
    {
        for (var i = 0; i < _editCount; i++)
        {
            ref var edit = ref _edits[i];
            var place = edit.Place;
            switch (edit.Kind)
            {
                case EditKind.Joint:
                case EditKind.Tree:
                    var (column, row, volts) = OuterSide(edit);
                    var current = JointSiemens(edit) * (v[place] - v[column] - volts);
                    f[place] +=
                        current
                        + Topology.TraceLeakage * v[place]
                        + _shunt * (v[place] - _m.Reference[place]);
                    f[row] -= current;
                    break;
                case EditKind.Bridge:
                    f[place] +=
                        v[_nodeColumn[edit.A]]
                        - v[_nodeColumn[edit.B]]
                        - BridgeOhms(edit) * v[place];
                    f[_nodeRow[edit.A]] += v[place];
                    f[_nodeRow[edit.B]] -= v[place];
                    break;
                case EditKind.Injection:
                    f[_nodeRow[edit.A]] += _sourceScale * edit.Value;
                    f[_nodeRow[edit.B]] -= _sourceScale * edit.Value;
                    break;
            }
        }
    }

    private void EvaluateLaws(double* v, int* inputColumn, int* inputPin, double* pinOffset)
    {
        var inputs = _m.Inputs;
        var results = _m.Results;
        var scales = _m.Factors;
        foreach (var instance in _t.Laws)
        {
            var law = instance.Law;
            for (var i = 0; i < law.InputCount; i++)
            {
                var at = instance.FirstInput + i;
                var pin = inputPin[at];
                inputs[i] = pin < 0 ? v[inputColumn[at]] : v[inputColumn[at]] + pinOffset[pin];
            }
            law.Evaluate(
                ref *inputs,
                ref MemoryMarshal.GetArrayDataReference(instance.Constants),
                ref *results
            );
            var outputs = law.OutputCount;
            var flows = _t.Flows.AsSpan(instance.FirstFlow, outputs);
            for (var o = 0; o < outputs; o++)
            {
                ref readonly var flow = ref flows[o];
                scales[o] =
                    flow.Element < 0 ? flow.Scale : flow.Scale * _elementStrength[flow.Element];
                _m.UnitFlows[instance.FirstFlow + o] = flow.Scale * results[o];
                _m.Flows[instance.FirstFlow + o] = scales[o] * results[o];
            }
            var partials = law.Partials;
            var target = _m.Partials + instance.FirstPartial;
            for (var p = 0; p < partials.Length; p++)
            {
                target[p] = scales[partials[p].Output] * results[outputs + p];
            }
        }
    }

    private bool EvaluateSemiconductors(double* v, int* inputColumn, bool limit)
    {
        var limited = false;
        foreach (var instance in _t.Semiconductors)
        {
            var frame = Frame(instance, v, inputColumn);
            frame.Limit = limit;
            limited |= instance.Device.Evaluate(ref frame);
        }
        return limited;
    }

    private DeviceFrame Frame(SemiconductorInstance instance, double* v, int* inputColumn)
    {
        var inputs = _m.Inputs;
        var count = instance.InputCount;
        for (var i = 0; i < count; i++)
        {
            inputs[i] = v[inputColumn[instance.FirstInput + i]];
        }
        return new DeviceFrame
        {
            Inputs = inputs,
            Flows = _m.Flows + instance.FirstFlow,
            Partials = _m.Partials + instance.FirstPartial,
            OldJunctions = _m.OldJunctions + instance.FirstJunction,
            NewJunctions = _m.NewJunctions + instance.FirstJunction,
            Strength = _elementStrength[instance.Element],
            Gain = _elementGain[instance.Element],
            Offset = _elementThreshold[instance.Element],
            JunctionLeakage = Topology.Leakage,
            Rate = _chargeRate,
            Histories = _m.ChargeHistories + instance.FirstCharge,
            Charges = _m.Charges + instance.FirstCharge,
            Capacitances = _m.ChargeCapacitances + instance.FirstCharge,
        };
    }
}
