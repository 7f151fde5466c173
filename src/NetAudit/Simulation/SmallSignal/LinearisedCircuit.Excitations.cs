using System.Numerics;
using NetAudit.Circuits;

namespace NetAudit.Simulation.SmallSignal;

// Volts of every node and branch under the excitations.
internal sealed unsafe partial class LinearisedCircuit
{
    /// <summary>Solves for the volts under the excitations, for which <see cref="Prepare"/> was called.</summary>
    public void Excite(ReadOnlySpan<Excitation> excitations)
    {
        var b = RightLanes;
        Clear(b, _t.IndexCount);
        var feed = 0;
        foreach (ref readonly var excitation in excitations)
        {
            switch (excitation.Kind)
            {
                case ExcitationKind.Source:
                    ExciteBySource(excitation.Element, excitation.Amplitude, b);
                    break;
                case ExcitationKind.Feed:
                    AddLane(b + _t.FirstEdit + _frame.Places + feed++, 0, excitation.Amplitude);
                    break;
                default:
                    AddLane(b + _frame.NodeRow[excitation.Positive], 0, excitation.Amplitude);
                    AddLane(b + _frame.NodeRow[excitation.Negative], 0, -excitation.Amplitude);
                    break;
            }
        }
        var x = VoltLanes;
        _matrix.Solve(b, x);
        for (var i = 0; i < _t.IndexCount; i++)
        {
            var counts = i < _t.UnknownCount || (i >= _t.FirstEdit && i < _t.FirstEdit + Places);
            _volts[i] = counts ? Lane(x + i, 0) : 0;
        }
        foreach (var (group, parent, element, sign) in _t.Folding.FixedSteps)
        {
            if (_frame.IsJoined(element))
            {
                _volts[_t.UnknownCount + group] =
                    _volts[_frame.NodeColumn[parent]] + sign * AmplitudeOf(element, excitations);
            }
        }
        _excitations = excitations.Length;
        if (_excitationCopies.Length < excitations.Length)
        {
            _excitationCopies = new Excitation[excitations.Length];
        }
        excitations.CopyTo(_excitationCopies);
    }

    /// <summary>Volts between two nodes under the excitations last solved for, without a meter.</summary>
    public Complex Volts(int positive, int negative) =>
        _volts[_frame.NodeColumn[positive]] - _volts[_frame.NodeColumn[negative]];

    private Excitation[] _excitationCopies = new Excitation[4];
    private int _excitations;

    private void ExciteBySource(int element, Complex amplitude, ComplexLanes* b)
    {
        if (_frame.Circuit.Circuit.Elements[element] is VoltageSource && _t.BranchOf[element] < 0)
        {
            ExciteByFolded(_frame.FoldedIndex(element), amplitude, b);
            return;
        }
        if (
            _frame.ElementJoint[element] >= CompiledCircuit.OpenResistance
            && _t.BranchOf[element] < 0
        )
        {
            return;
        }
        for (
            var i = _t.FirstConstantOf[element];
            i < _t.ConstantStamps.Length && _t.ConstantStamps[i].Element == element;
            i++
        )
        {
            AddLane(b + _frame.Links.ConstantRow[i], 0, -_t.ConstantStamps[i].Sign * amplitude);
        }
    }

    private void ExciteByFolded(int source, Complex amplitude, ComplexLanes* b)
    {
        _frame.FoldedResponse(source, out var direction, out var entries);
        foreach (var (row, value) in entries)
        {
            AddLane(b + row, 0, -value * amplitude);
        }
        foreach (var i in _frame.Reach(source).Capacitances)
        {
            var at = _frame.Links.Capacitances.AsSpan(8 * i, 4);
            var siemens = _omega * _frame.ElementValue[_t.Capacitances[i].Element];
            var change =
                new Complex(0, siemens * (direction[at[0]] - direction[at[1]])) * amplitude;
            AddLane(b + at[2], 0, -change);
            AddLane(b + at[3], 0, change);
        }
        if (_junctions.Partials.Length > 0)
        {
            ExciteThroughJunctions(source, direction, amplitude, b);
        }
    }

    // Capacitances of junctions on nodes that the source moves.
    private void ExciteThroughJunctions(
        int source,
        double[] direction,
        Complex amplitude,
        ComplexLanes* b
    )
    {
        foreach (var i in _frame.Reach(source).Partials)
        {
            var (flow, columnPort) = _t.Partials[i];
            var siemens = _omega * _junctions.Farads[i];
            var change =
                new Complex(0, siemens * direction[_frame.Links.PortColumn[columnPort]])
                * amplitude;
            AddLane(b + _frame.Links.FlowRows[2 * flow], 0, -change);
            AddLane(b + _frame.Links.FlowRows[2 * flow + 1], 0, change);
        }
    }

    private static Complex AmplitudeOf(int element, ReadOnlySpan<Excitation> excitations)
    {
        var sum = Complex.Zero;
        foreach (ref readonly var excitation in excitations)
        {
            if (excitation.Kind == ExcitationKind.Source && excitation.Element == element)
            {
                sum += excitation.Amplitude;
            }
        }
        return sum;
    }
}
