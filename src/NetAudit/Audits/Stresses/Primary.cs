using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Tubes;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>
/// The primary of the mains transformer: RMS currents of all secondaries by their turns, the heaters among them, added as if they were in
/// phase, which they nearly are at most. Without the magnetising current. Immutable.
/// </summary>
internal sealed class Primary
{
    private readonly double _mainsVolts;
    private readonly double _heaterWatts;
    private readonly ImmutableArray<int> _sources;

    private Primary(double mainsVolts, double heaterWatts, ImmutableArray<int> sources)
    {
        _mainsVolts = mainsVolts;
        _heaterWatts = heaterWatts;
        _sources = sources;
    }

    /// <summary>The primary, or null when the sheet does not say enough: mains volts, and a <c>[[supply]]</c> for every source on it.</summary>
    public static Primary? Of(Amplifier amplifier)
    {
        var sources = amplifier
            .Parts.Where(part => part.Class == PartClass.Supply)
            .SelectMany(part => part.Elements)
            .ToImmutableArray();
        var isKnown =
            !sources.IsEmpty
            && sources.All(e =>
                amplifier.Circuit.Elements[e] is VoltageSource { Supply: not null }
            );
        return amplifier.Sheet.Mains.Nominal is { } volts && isKnown
            ? new(volts, HeaterWatts(amplifier), sources)
            : null;
    }

    /// <summary>Amperes RMS at the operating point.</summary>
    public double Amps(Workspace workspace)
    {
        workspace.EvaluateCurrents();
        return _heaterWatts / _mainsVolts
            + _sources.Sum(source =>
                workspace.RectifierOf(source) is { IsOn: true } rectifier
                    ? Referred(rectifier.Waveforms.RmsAmps, workspace.ValueNow(source))
                    : 0
            );
    }

    /// <summary>Amperes in the primary for some in a winding.</summary>
    /// <param name="amps">Amperes RMS in the winding.</param>
    /// <param name="volts">Its volts RMS.</param>
    public double Referred(double amps, double volts) => amps * volts / _mainsVolts;

    private static double HeaterWatts(Amplifier amplifier) =>
        amplifier
            .Parts.Select(part => part.TubeType)
            .Concat(
                amplifier.Sheet.Supplies.Select(supply =>
                    supply.Rectifier is { } type ? TubeCatalogue.Find(type) : null
                )
            )
            .OfType<TubeType>()
            .Sum(type => type.HeaterVolts * type.HeaterAmps);
}
