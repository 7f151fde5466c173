using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation.SmallSignal;

/// <summary>
/// Capacitances of semiconductors by partial derivative of their flows. A device adds rate times capacitance to a partial derivative, so the
/// difference at a rate shows it.
/// </summary>
internal sealed unsafe class JunctionCapacitances
{
    /// <summary>1/s: a picofarad then counts as much as a millisiemens, so that little is lost in the difference.</summary>
    public const double Rate = 1e9;

    // No semiconductor has more partial derivatives.
    private const int MostPartials = 16;

    private readonly Workspace _point;
    private readonly SemiconductorInstance[] _storing;
    private readonly double[] _block = GC.AllocateArray<double>(2 * MostPartials, pinned: true);
    private readonly double* _flows;

    public JunctionCapacitances(Workspace point)
    {
        _point = point;
        _storing =
        [
            .. point.Structure.Semiconductors.Where(instance => instance.Device.ChargeCount > 0),
        ];
        Partials =
        [
            .. _storing.SelectMany(instance =>
                Enumerable.Range(instance.FirstPartial, instance.Device.Partials.Length)
            ),
        ];
        Farads = new double[point.Structure.Partials.Length];
        fixed (double* start = _block)
        {
            _flows = start;
        }
    }

    /// <summary>The partial derivatives that have a capacitance.</summary>
    public int[] Partials { get; }

    /// <summary>By partial derivative of all flows.</summary>
    public double[] Farads { get; }

    /// <summary>Works them out at the operating point, whose partial derivatives are known.</summary>
    public void Refresh()
    {
        foreach (var instance in _storing)
        {
            var frame = _point.FrameAtPoint(instance);
            frame.Flows = _flows;
            frame.Partials = _flows + MostPartials;
            frame.Rate = Rate;
            instance.Device.Evaluate(ref frame);
            for (var p = 0; p < instance.Device.Partials.Length; p++)
            {
                var at = instance.FirstPartial + p;
                Farads[at] = (frame.Partials[p] - _point.Memory.Partials[at]) / Rate;
            }
        }
    }
}
