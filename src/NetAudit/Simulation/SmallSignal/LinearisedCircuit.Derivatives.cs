using System.Numerics;
using System.Runtime.CompilerServices;
using NetAudit.Simulation.Compilation;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation.SmallSignal;

// d(level)/dq = -a' (dY/dq) v - a' (dY/dx v) dx/dq, the second part by the adjoint of the operating point: with the gradient
// w = -a' (dY/dx v) by node, inv(J') w meets dF/dq there as in any DC reading.
internal sealed unsafe partial class LinearisedCircuit
{
    private readonly LaneMemory _inputLanes = new();
    private readonly LaneMemory _gradient = new();
    private readonly LaneMemory _slopes = new();
    private Curvatures? _curvatures;
    private bool _curvaturesKnown;

    /// <summary>
    /// Derivatives of the quantities last read, by the columns; <paramref name="rows"/> is row by row, as many rows as quantities.
    /// </summary>
    public void Differentiate(ReadOnlySpan<int> columns, int quantities, Span<Complex> rows)
    {
        var plan = _frame.ColumnsFor(columns);
        var pointPlan = _point.ColumnsFor(columns);
        _curvatures ??= new(_point);
        if (!_curvaturesKnown)
        {
            _curvatures.Refresh();
            _curvaturesKnown = true;
        }
        var count = columns.Length;
        var real = _slopes.Reserve(2 * count);
        var imaginary = real + count;
        if (FindGradient())
        {
            var gradient = _gradient.Start;
            _point.DifferentiateThroughPoint(gradient, pointPlan, real);
            _point.DifferentiateThroughPoint(
                gradient + _point.Structure.IndexCount,
                pointPlan,
                imaginary
            );
        }
        else
        {
            new Span<Lanes>(real, 2 * count).Clear();
        }
        AddDirect(plan, real, imaginary);
        for (var lane = 0; lane < quantities; lane++)
        {
            var row = rows.Slice(lane * count, count);
            for (var column = 0; column < count; column++)
            {
                row[column] = new(
                    ((double*)(real + column))[lane],
                    ((double*)(imaginary + column))[lane]
                );
            }
        }
    }

    // By input of the non-linear devices: a' (dY/d(input) v). Then by index of the operating point, real and imaginary parts apart, with
    // its sign turned. False when the circuit is linear.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private bool FindGradient()
    {
        var curvatures = _curvatures!;
        if (curvatures.Partials.Length == 0)
        {
            return false;
        }
        var byInput = (ComplexLanes*)_inputLanes.Start;
        Clear(byInput, _t.InputPorts.Length);
        var a = AdjointLanes;
        var v = VoltLanes;
        var links = _frame.Links;
        for (var i = 0; i < curvatures.Partials.Length; i++)
        {
            var (flow, columnPort) = _t.Partials[curvatures.Partials[i]];
            var product =
                (a[links.FlowRows[2 * flow]] - a[links.FlowRows[2 * flow + 1]])
                * v[links.PortColumn[columnPort]];
            for (var entry = curvatures.Start[i]; entry < curvatures.Start[i + 1]; entry++)
            {
                var (input, value) = curvatures.Entries[entry];
                byInput[input] += curvatures[value] * product;
                if (curvatures.HasCharges)
                {
                    byInput[input] += product.Turned(_omega * curvatures.Farads(value));
                }
            }
        }
        var indices = _point.Structure.IndexCount;
        var real = _gradient.Start;
        var imaginary = real + indices;
        new Span<Lanes>(real, 2 * indices).Clear();
        for (var input = 0; input < _t.InputPorts.Length; input++)
        {
            var at = _point.Links.InputColumn[input];
            real[at] -= byInput[input].Real;
            imaginary[at] -= byInput[input].Imaginary;
        }
        return true;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void AddDirect(ColumnPlan plan, Lanes* real, Lanes* imaginary)
    {
        var links = _frame.Links;
        foreach (var (column, conductance) in plan.Conductances)
        {
            Add(column, ByConductance(conductance));
        }
        foreach (var (column, capacitance) in plan.Capacitances)
        {
            var at = links.Capacitances.AsSpan(8 * capacitance, 4);
            Add(column, Across(at[0], at[1], at[2], at[3]).Turned(-_omega));
        }
        foreach (var (column, inductance) in plan.Inductances)
        {
            Add(column, ByInductance(inductance));
        }
        foreach (var (column, element) in plan.Gains)
        {
            Add(column, ByLinear(element, _frame.ElementStrength[element]));
        }
        foreach (var (column, element) in plan.LinearStrengths)
        {
            Add(column, ByLinear(element, _frame.ElementValue[element]));
        }
        foreach (var (column, flow) in plan.FlowStrengths)
        {
            Add(column, ByStrength(flow));
        }
        foreach (var (column, pin) in plan.Offsets)
        {
            Add(column, ByOffset(pin));
        }
        foreach (var (column, parameter) in plan.Semiconductors)
        {
            Add(column, BySemiconductor(parameter));
        }
        foreach (var (column, edit) in plan.Edits)
        {
            Add(column, ByEdit(_frame.ShapeOf(edit)));
        }

        void Add(int column, ComplexLanes slope)
        {
            real[column] += slope.Real;
            imaginary[column] += slope.Imaginary;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private ComplexLanes Across(int columnA, int columnB, int rowA, int rowB) =>
        (VoltLanes[columnA] - VoltLanes[columnB]) * (AdjointLanes[rowA] - AdjointLanes[rowB]);

    // dG/dR = -G^2.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private ComplexLanes ByConductance(int conductance)
    {
        var g = _frame.Memory.Siemens[conductance];
        var at = _frame.Links.Conductances.AsSpan(8 * conductance, 4);
        return g * g * Across(at[0], at[1], at[2], at[3]);
    }

    // The inductance itself, and the mutual inductances, which follow its square root.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private ComplexLanes ByInductance(int inductance)
    {
        var row = Branch(inductance);
        var sum = VoltLanes[row] * AdjointLanes[row];
        for (var i = 0; i < _t.MutualInductances.Length; i++)
        {
            ref readonly var mutual = ref _t.MutualInductances[i];
            if (mutual.First == inductance || mutual.Second == inductance)
            {
                var (first, second) = (Branch(mutual.First), Branch(mutual.Second));
                sum +=
                    MutualHenries(mutual)
                    / (2 * Henries(inductance))
                    * (
                        VoltLanes[second] * AdjointLanes[first]
                        + VoltLanes[first] * AdjointLanes[second]
                    );
            }
        }
        return sum.Turned(_omega);
    }

    private int Branch(int inductance) => _t.BranchOf[_t.Inductances[inductance].Element];

    private ComplexLanes ByLinear(int element, double other)
    {
        var sum = default(ComplexLanes);
        for (
            var i = _t.FirstLinearOf[element];
            i < _t.LinearStamps.Length && _t.LinearStamps[i].Element == element;
            i++
        )
        {
            sum +=
                _t.LinearStamps[i].PerValue
                * other
                * (
                    AdjointLanes[_frame.Links.LinearRow[i]]
                    * VoltLanes[_frame.Links.LinearColumn[i]]
                );
        }
        return -sum;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private ComplexLanes ByStrength(int flow)
    {
        var sum = default(ComplexLanes);
        foreach (var partial in _t.PartialsOf[flow])
        {
            sum +=
                _curvatures!.UnitPartials[partial]
                * VoltLanes[_frame.Links.PortColumn[_t.Partials[partial].ColumnPort]];
        }
        return -(sum * FlowAdjoint(flow));
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private ComplexLanes FlowAdjoint(int flow) =>
        AdjointLanes[_frame.Links.FlowRows[2 * flow]]
        - AdjointLanes[_frame.Links.FlowRows[2 * flow + 1]];

    // An offset moves what the control inputs behind the pin see, and so their conductances.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private ComplexLanes ByOffset(int pin)
    {
        var byInput = (ComplexLanes*)_inputLanes.Start;
        var sum = default(ComplexLanes);
        foreach (var input in _t.LawInputsBehind[pin])
        {
            sum += byInput[input];
        }
        return -sum;
    }

    private ComplexLanes BySemiconductor(int parameter)
    {
        var element = _frame.Circuit.Parameters[parameter].Index;
        var instance = _t.Semiconductors[_t.SemiconductorOf[element]];
        var slopes = _curvatures!.SlopesOf(parameter);
        var farads = _curvatures.FaradSlopesOf(parameter);
        var sum = default(ComplexLanes);
        for (var p = 0; p < instance.Device.Partials.Length; p++)
        {
            var (flow, columnPort) = _t.Partials[instance.FirstPartial + p];
            var product = VoltLanes[_frame.Links.PortColumn[columnPort]] * FlowAdjoint(flow);
            sum += slopes[p] * product;
            if (!farads.IsEmpty)
            {
                sum += product.Turned(_omega * farads[p]);
            }
        }
        return -sum;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private ComplexLanes ByEdit(EditShape edit)
    {
        switch (edit.Rule)
        {
            case EditRule.Branch:
                return VoltLanes[edit.Index] * AdjointLanes[edit.Index];
            case EditRule.Conductance:
                return ByConductance(edit.Index);
            case EditRule.Joint:
                var across = VoltLanes[edit.Index] - VoltLanes[edit.Column];
                if (edit.Source >= 0)
                {
                    var amplitude =
                        edit.SourceSign
                        * AmplitudeOf(edit.Source, _excitationCopies.AsSpan(0, _excitations));
                    across -= ComplexLanes.All(amplitude.Real, amplitude.Imaginary);
                }
                return edit.Siemens
                    * edit.Siemens
                    * (across * (AdjointLanes[edit.Index] - AdjointLanes[edit.Row]));
            default:
                return default;
        }
    }
}
