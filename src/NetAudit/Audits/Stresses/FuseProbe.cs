using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>A fuse and how its current is read off a solved workspace.</summary>
/// <param name="Data">The fuse.</param>
/// <param name="Element">The resistor that stands for it; -1 for the mains fuse.</param>
/// <param name="Mains">The primary, for the mains fuse; else null.</param>
internal sealed record FuseProbe(FuseData Data, int Element, Primary? Mains)
{
    /// <summary>The fuses of the sheet whose current can be known.</summary>
    public static ImmutableArray<FuseProbe> Of(Amplifier amplifier) =>
        [
            .. amplifier
                .Sheet.Fuses.Select(fuse => new FuseProbe(
                    fuse,
                    amplifier.Circuit.FindElement(fuse.Element),
                    null
                ))
                .Where(fuse => fuse.Element >= 0),
            .. amplifier.Sheet.Mains.Fuse is { } mains && Primary.Of(amplifier) is { } primary
                ? new[] { new FuseProbe(mains, -1, primary) }
                : [],
        ];

    /// <summary>Its amperes, DC or RMS.</summary>
    public double Amps(Workspace workspace) =>
        Mains is { } primary ? primary.Amps(workspace) : Math.Abs(workspace.ResistorAmps(Element));

    /// <summary>What it does at a current.</summary>
    public FuseEvent At(double amps, string name) =>
        new(
            Data.Name,
            name,
            amps,
            Data.RatedAmps,
            Data.Speed,
            Data.RatedAmps is { } rated && double.IsFinite(amps)
                ? FuseCurve.Find(amps, rated, Data.Speed)
                : null
        );
}
