using NetAudit.Circuits.Sheets;
using NetAudit.Simulation.Transients;

namespace NetAudit.Audits.Stresses;

/// <summary>Adds up the heat of a surge in a fuse, which has no time to lose any.</summary>
/// <param name="fuse">The fuse.</param>
/// <param name="element">The resistor that stands for it.</param>
internal sealed class FuseSurge(FuseData fuse, int element)
{
    private double _heat;
    private double _peak;
    private double _time;
    private double _square;

    public int Element => element;

    public FuseEvent Event =>
        new(
            fuse.Name,
            "switch-on",
            _peak,
            fuse.RatedAmps,
            fuse.Speed,
            fuse.RatedAmps is { } rated ? FuseCurve.FindSurge(_heat, rated, fuse.Speed) : null
        );

    public void Note(Integrator integrator)
    {
        var amps = Math.Abs(integrator.Workspace.ResistorAmps(element));
        var square = amps > FuseCurve.HoldingMultiple * (fuse.RatedAmps ?? 0) ? amps * amps : 0;
        _heat += (integrator.Time - _time) * (square + _square) / 2;
        (_time, _square) = (integrator.Time, square);
        _peak = Math.Max(_peak, amps);
    }
}
