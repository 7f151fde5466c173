using NetAudit.Simulation.Compilation;
using NetAudit.Simulation.Devices;

namespace NetAudit.Simulation.SmallSignal;

/// <summary>
/// How the partial derivatives of every non-linear flow change with the inputs of its device, and with the parameters of its semiconductor:
/// second derivatives at an operating point. Those of laws are symbolic, those of semiconductors central differences of their partial
/// derivatives.
/// </summary>
internal sealed unsafe class Curvatures
{
    // Small against the thermal voltage: the error of a central difference is a sixth of its square.
    private const double InputStep = 1e-5;
    private const double ParameterStep = 1e-5;

    // No semiconductor has more.
    private const int MostPartials = 16;

    private readonly Workspace _point;
    private readonly Topology _t;
    private readonly double[][] _lawConstants;
    private readonly double[] _values;
    private readonly double[] _farads;
    private readonly double[] _inputs;
    private readonly double[] _results;
    private readonly double[] _parameterSlopes;
    private readonly double[] _parameterFarads;
    private readonly double[] _deviceBlock;
    private readonly double* _device;

    public Curvatures(Workspace point)
    {
        _point = point;
        _t = point.Structure;
        _lawConstants =
        [
            .. _t.Laws.Select(instance =>
                instance.Law.Curvature.Law.Prepare(instance.RawConstants)
            ),
        ];
        var lists = new List<(int Input, int Value)>?[_t.Partials.Length];
        var count = ListLaws(lists, 0);
        count = ListSemiconductors(lists, count);
        _values = new double[count];
        _farads = new double[count];
        HasCharges = Array.Exists(_t.Semiconductors, instance => instance.Device.ChargeCount > 0);
        Partials =
        [
            .. Enumerable.Range(0, lists.Length).Where(partial => lists[partial] is not null),
        ];
        Start = new int[Partials.Length + 1];
        for (var i = 0; i < Partials.Length; i++)
        {
            Start[i + 1] = Start[i] + lists[Partials[i]]!.Count;
        }
        Entries = [.. Partials.SelectMany(partial => lists[partial]!)];
        UnitPartials = new double[_t.Partials.Length];
        _parameterSlopes = new double[
            _t.Semiconductors.Length > 0 ? point.Circuit.Parameters.Length * MostPartials : 0
        ];
        _parameterFarads = new double[HasCharges ? _parameterSlopes.Length : 0];
        var most = 1;
        foreach (var instance in _t.Laws)
        {
            most = Math.Max(most, instance.Law.ResultCount);
            most = Math.Max(most, instance.Law.Curvature.Law.ResultCount);
            most = Math.Max(most, instance.Law.InputCount);
        }
        _inputs = new double[most];
        _results = new double[most];
        _deviceBlock = GC.AllocateArray<double>(3 * MostPartials, pinned: true);
        fixed (double* start = _deviceBlock)
        {
            _device = start;
        }
    }

    /// <summary>The partial derivatives that change with an input.</summary>
    public int[] Partials { get; }

    /// <summary>Where the entries of each of <see cref="Partials"/> begin.</summary>
    public int[] Start { get; }

    /// <summary>The input (of all devices' inputs) by which a partial changes, and where its value stands.</summary>
    public (int Input, int Value)[] Entries { get; }

    /// <summary>Change of a partial derivative per volt or ampere at the input.</summary>
    public double this[int value] => _values[value];

    /// <summary>Change of the capacitance beside that partial derivative, farads per volt; 0 for laws.</summary>
    public double Farads(int value) => _farads[value];

    /// <summary>Whether any semiconductor stores charge.</summary>
    public bool HasCharges { get; }

    /// <summary>Partial derivatives of behavioural sources at strength 1.</summary>
    public double[] UnitPartials { get; }

    /// <summary>Change of a semiconductor's partial derivatives with one of its parameters.</summary>
    public ReadOnlySpan<double> SlopesOf(int parameter) =>
        _parameterSlopes.AsSpan(parameter * MostPartials, MostPartials);

    /// <summary>Change of the capacitances beside them; empty when none stores charge.</summary>
    public ReadOnlySpan<double> FaradSlopesOf(int parameter) =>
        HasCharges ? _parameterFarads.AsSpan(parameter * MostPartials, MostPartials) : [];

    /// <summary>Works everything out at the operating point.</summary>
    public void Refresh()
    {
        var next = 0;
        for (var i = 0; i < _t.Laws.Length; i++)
        {
            next = RefreshLaw(_t.Laws[i], _lawConstants[i], next);
        }
        foreach (var instance in _t.Semiconductors)
        {
            next = RefreshSemiconductor(instance, next);
        }
        RefreshParameters();
    }

    private int ListLaws(List<(int, int)>?[] lists, int count)
    {
        foreach (var instance in _t.Laws)
        {
            foreach (var (output, first, second) in instance.Law.Curvature.Entries)
            {
                Add(first, second);
                if (first != second)
                {
                    Add(second, first);
                }
                count++;

                void Add(int by, int input)
                {
                    var partial = Array.IndexOf(instance.Law.Partials, (output, by));
                    (lists[instance.FirstPartial + partial] ??= []).Add(
                        (instance.FirstInput + input, count)
                    );
                }
            }
        }
        return count;
    }

    private int ListSemiconductors(List<(int, int)>?[] lists, int count)
    {
        foreach (var instance in _t.Semiconductors)
        {
            for (var p = 0; p < instance.Device.Partials.Length; p++)
            {
                for (var input = 0; input < instance.InputCount; input++)
                {
                    (lists[instance.FirstPartial + p] ??= []).Add(
                        (instance.FirstInput + input, count++)
                    );
                }
            }
        }
        return count;
    }

    private int RefreshLaw(LawInstance instance, double[] constants, int next)
    {
        var law = instance.Law;
        for (var i = 0; i < law.InputCount; i++)
        {
            var at = instance.FirstInput + i;
            var pin = _t.InputPins[at];
            _inputs[i] =
                _point.Memory.V[_point.Links.InputColumn[at]]
                + (pin < 0 ? 0 : _point.PinOffset[pin]);
        }
        law.Evaluate(
            ref _inputs[0],
            ref System.Runtime.InteropServices.MemoryMarshal.GetArrayDataReference(
                instance.Constants
            ),
            ref _results[0]
        );
        for (var i = 0; i < law.Partials.Length; i++)
        {
            UnitPartials[instance.FirstPartial + i] =
                _t.Flows[instance.FirstFlow + law.Partials[i].Output].Scale
                * _results[law.OutputCount + i];
        }
        var curvature = law.Curvature;
        curvature.Law.Evaluate(
            ref _inputs[0],
            ref System.Runtime.InteropServices.MemoryMarshal.GetArrayDataReference(constants),
            ref _results[0]
        );
        for (var i = 0; i < curvature.Entries.Length; i++)
        {
            ref readonly var flow = ref _t.Flows[instance.FirstFlow + curvature.Entries[i].Output];
            var scale =
                flow.Element < 0 ? flow.Scale : flow.Scale * _point.ElementStrength[flow.Element];
            _values[next++] = scale * _results[i];
        }
        return next;
    }

    private int RefreshSemiconductor(SemiconductorInstance instance, int next)
    {
        var partials = instance.Device.Partials.Length;
        var count = partials * instance.InputCount;
        var values = _values.AsSpan(next, count);
        var farads = _farads.AsSpan(next, count);
        values.Clear();
        farads.Clear();
        for (var input = 0; input < instance.InputCount; input++)
        {
            for (var side = -1; side <= 1; side += 2)
            {
                var frame = OwnFrame(instance);
                frame.Inputs[input] += side * InputStep;
                Add(ref frame, side / (2 * InputStep), values, farads, input, instance);
            }
        }
        return next + count;
    }

    // Partial derivatives and capacitances, times a factor; farads by what a rate adds.
    private static void Add(
        ref DeviceFrame frame,
        double factor,
        Span<double> values,
        Span<double> farads,
        int first,
        SemiconductorInstance instance
    )
    {
        var stride = values.Length / instance.Device.Partials.Length;
        instance.Device.Evaluate(ref frame);
        for (var p = 0; p < instance.Device.Partials.Length; p++)
        {
            values[p * stride + first] += factor * frame.Partials[p];
        }
        if (instance.Device.ChargeCount == 0)
        {
            return;
        }
        const double Share = 1 / JunctionCapacitances.Rate;
        for (var p = 0; p < instance.Device.Partials.Length; p++)
        {
            farads[p * stride + first] -= Share * factor * frame.Partials[p];
        }
        frame.Rate = JunctionCapacitances.Rate;
        instance.Device.Evaluate(ref frame);
        for (var p = 0; p < instance.Device.Partials.Length; p++)
        {
            farads[p * stride + first] += Share * factor * frame.Partials[p];
        }
    }

    private void RefreshParameters()
    {
        var parameters = _point.Circuit.Parameters;
        for (var parameter = 0; parameter * MostPartials < _parameterSlopes.Length; parameter++)
        {
            var (kind, e, _) = parameters[parameter];
            if (kind is ParameterKind.Value or ParameterKind.Offset || _t.SemiconductorOf[e] < 0)
            {
                continue;
            }
            var instance = _t.Semiconductors[_t.SemiconductorOf[e]];
            var partials = instance.Device.Partials.Length;
            var slopes = _parameterSlopes.AsSpan(parameter * MostPartials, partials);
            var farads = HasCharges
                ? _parameterFarads.AsSpan(parameter * MostPartials, partials)
                : [];
            slopes.Clear();
            farads.Clear();
            for (var side = -1; side <= 1; side += 2)
            {
                var frame = OwnFrame(instance);
                var step = side * ParameterStep;
                frame.Strength += kind == ParameterKind.Strength ? step : 0;
                frame.Gain += kind == ParameterKind.Gain ? step : 0;
                frame.Offset += kind == ParameterKind.Threshold ? step : 0;
                Add(ref frame, side / (2 * ParameterStep), slopes, farads, 0, instance);
            }
        }
    }

    private DeviceFrame OwnFrame(SemiconductorInstance instance)
    {
        var frame = _point.FrameAtPoint(instance);
        frame.Flows = _device;
        frame.Partials = _device + MostPartials;
        return frame;
    }
}
