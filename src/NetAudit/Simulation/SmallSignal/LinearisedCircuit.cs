using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Simulation.Compilation;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation.SmallSignal;

/// <summary>
/// A circuit linearised at the operating point of a workspace, at one frequency: Y v = b. Its structure is that of another workspace, on
/// the dynamic topology, which follows the first one's parameters and edits; or of the first one itself, at frequency 0.
/// </summary>
internal sealed unsafe partial class LinearisedCircuit
{
    private readonly Workspace _point;
    private readonly Workspace _frame;
    private readonly Topology _t;
    private readonly LinearisedMatrix _matrix;
    private readonly JunctionCapacitances _junctions;
    private readonly double[] _realBlock;
    private readonly double* _real;
    private readonly LaneMemory _lanes = new();
    private readonly Complex[] _volts;
    private readonly Excitation[] _feeds = new Excitation[Topology.MostPlaces - Topology.MostEdits];
    private int _feedCount;
    private int _followed = -1;
    private double _omega = double.NaN;

    public LinearisedCircuit(Workspace point, Workspace frame)
    {
        _point = point;
        _frame = frame;
        _t = frame.Structure;
        _matrix = new LinearisedMatrix(_t);
        _realBlock = GC.AllocateArray<double>(Links.ValueCount(_t.Program), pinned: true);
        fixed (double* start = _realBlock)
        {
            _real = start;
        }
        _volts = new Complex[_t.IndexCount];
        _junctions = new JunctionCapacitances(point);
        _lanes.Reserve(2 * LaneArrays * _t.IndexCount);
        _inputLanes.Reserve(2 * (_t.InputPorts.Length + 1));
        _gradient.Reserve(2 * point.Structure.IndexCount);
    }

    private const int LaneArrays = 3;

    private int Places => _frame.Places + _feedCount;

    // Lanes by index: right-hand sides, volts, adjoints.
    private ComplexLanes* RightLanes => (ComplexLanes*)_lanes.Start;

    private ComplexLanes* VoltLanes => RightLanes + _t.IndexCount;

    private ComplexLanes* AdjointLanes => VoltLanes + _t.IndexCount;

    /// <summary>
    /// Makes the factors at an angular frequency with the test signals fed in among the excitations connected. False when the circuit has
    /// no unique solution there.
    /// </summary>
    public bool Prepare(double omega, ReadOnlySpan<Excitation> excitations)
    {
        var changed = Follow();
        changed |= Connect(excitations);
        if (!changed && omega == _omega)
        {
            return true;
        }
        _omega = omega;
        _matrix.Load(_real, Places);
        StampReactances();
        for (var i = 0; i < _feedCount; i++)
        {
            StampFeed(_feeds[i], _t.FirstEdit + _frame.Places + i);
        }
        var ok = _matrix.Factor();
        if (!ok)
        {
            _omega = double.NaN;
        }
        return ok;
    }

    // Takes over what has changed since the operating point was found anew.
    private bool Follow()
    {
        _point.RequireLinearisation();
        if (_followed == _point.SolveCount)
        {
            return false;
        }
        if (_frame != _point)
        {
            _frame.MatchCircuit(_point);
            _frame.CopyPartials(_point);
        }
        _frame.StampStatic(_real);
        var partials = _point.Memory.Partials;
        var slots = _frame.Links.PartialSlots;
        for (var i = 0; i < _t.Partials.Length; i++)
        {
            _real[slots[2 * i]] += partials[i];
            _real[slots[2 * i + 1]] -= partials[i];
        }
        RemoveSupplies(partials);
        _frame.RefreshFoldedResponses();
        _junctions.Refresh();
        _curvaturesKnown = false;
        _followed = _point.SolveCount;
        return true;
    }

    // A rectifier's slope is that of averages over a mains period; within one its current is what its steady state says.
    private void RemoveSupplies(double* partials)
    {
        var slots = _frame.Links.PartialSlots;
        foreach (var supply in _t.Supplies)
        {
            for (
                var i = supply.FirstPartial;
                i < supply.FirstPartial + SupplyInstance.Partials;
                i++
            )
            {
                _real[slots[2 * i]] -= partials[i];
                _real[slots[2 * i + 1]] += partials[i];
            }
        }
    }

    private bool Connect(ReadOnlySpan<Excitation> excitations)
    {
        var count = 0;
        var changed = false;
        foreach (ref readonly var excitation in excitations)
        {
            if (excitation.Kind == ExcitationKind.Feed)
            {
                if (count == _feeds.Length)
                {
                    throw new ArgumentException(
                        $"At most {_feeds.Length} test signals can be fed in at once.",
                        nameof(excitations)
                    );
                }
                changed |= count >= _feedCount || _feeds[count] != excitation;
                _feeds[count++] = excitation;
            }
        }
        changed |= count != _feedCount;
        _feedCount = count;
        return changed;
    }

    private void StampReactances()
    {
        var values = _matrix.Values;
        var links = _frame.Links;
        for (var i = 0; i < _t.Capacitances.Length; i++)
        {
            var siemens = _omega * _frame.ElementValue[_t.Capacitances[i].Element];
            var at = links.Capacitances.AsSpan(8 * i, 8);
            values[2 * at[4] + 1] += siemens;
            values[2 * at[5] + 1] -= siemens;
            values[2 * at[6] + 1] -= siemens;
            values[2 * at[7] + 1] += siemens;
        }
        foreach (var i in _junctions.Partials)
        {
            var siemens = _omega * _junctions.Farads[i];
            values[2 * links.PartialSlots[2 * i] + 1] += siemens;
            values[2 * links.PartialSlots[2 * i + 1] + 1] -= siemens;
        }
        for (var i = 0; i < _t.Inductances.Length; i++)
        {
            values[2 * links.InductanceSlot[i] + 1] -= _omega * Henries(i);
        }
        for (var i = 0; i < _t.MutualInductances.Length; i++)
        {
            var ohms = _omega * MutualHenries(_t.MutualInductances[i]);
            values[2 * links.MutualSlots[2 * i] + 1] -= ohms;
            values[2 * links.MutualSlots[2 * i + 1] + 1] -= ohms;
        }
    }

    private double Henries(int inductance) =>
        _frame.ElementValue[_t.Inductances[inductance].Element];

    private double MutualHenries(in MutualInductance mutual) =>
        ((Coupling)_frame.Circuit.Circuit.Elements[mutual.Element]).Coefficient
        * Math.Sqrt(Henries(mutual.First) * Henries(mutual.Second));

    // Its current i, an unknown, leaves the first node into the generator: vp - vn - Z i = E.
    private void StampFeed(in Excitation feed, int place)
    {
        var impedance = new Complex(
            Math.Max(feed.Ohms, LeastFeedOhms),
            double.IsInfinity(feed.Farads) ? 0 : -1 / (_omega * feed.Farads)
        );
        Add(place, _frame.NodeColumn[feed.Positive], 1);
        Add(place, _frame.NodeColumn[feed.Negative], -1);
        Add(_frame.NodeRow[feed.Positive], place, 1);
        Add(_frame.NodeRow[feed.Negative], place, -1);
        Add(place, place, -impedance);

        void Add(int row, int column, Complex value)
        {
            var slot = _frame.Links.Slot(_t.Program, row, column);
            _matrix.Values[2 * slot] += value.Real;
            _matrix.Values[2 * slot + 1] += value.Imaginary;
        }
    }

    // Two generators without resistance side by side would leave their currents undetermined.
    private const double LeastFeedOhms = 1e-6;

    private static void Clear(ComplexLanes* lanes, int count) =>
        new Span<Lanes>(lanes, 2 * count).Clear();

    private static void SetLane(ComplexLanes* entry, int lane, Complex value)
    {
        var numbers = (double*)entry;
        numbers[lane] = value.Real;
        numbers[LaneMemory.Width + lane] = value.Imaginary;
    }

    private static void AddLane(ComplexLanes* entry, int lane, Complex value) =>
        SetLane(entry, lane, Lane(entry, lane) + value);

    private static Complex Lane(ComplexLanes* entry, int lane)
    {
        var numbers = (double*)entry;
        return new(numbers[lane], numbers[LaneMemory.Width + lane]);
    }
}
