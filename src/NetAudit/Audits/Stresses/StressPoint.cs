using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>How one stress is read off a solved workspace, after <see cref="Workspace.EvaluateCurrents"/>.</summary>
internal abstract record StressPoint(StressItem Item)
{
    /// <summary>The value in SI units, not negative.</summary>
    public abstract double Read(Workspace workspace);
}

/// <summary>Watts in resistors that are one part.</summary>
internal sealed record ResistorPower(StressItem Item, ImmutableArray<int> Elements)
    : StressPoint(Item)
{
    public override double Read(Workspace workspace)
    {
        var watts = 0.0;
        foreach (var element in Elements)
        {
            var amps = workspace.ResistorAmps(element);
            watts += amps * amps * workspace.ResistorOhms(element);
        }
        return watts;
    }
}

/// <summary>Volts between two nodes.</summary>
internal sealed record NodeVolts(StressItem Item, int A, int B) : StressPoint(Item)
{
    public override double Read(Workspace workspace) =>
        Math.Abs(workspace.VoltsNow(A) - workspace.VoltsNow(B));
}

/// <summary>Amperes through a resistor.</summary>
internal sealed record ResistorCurrent(StressItem Item, int Element) : StressPoint(Item)
{
    public override double Read(Workspace workspace) => Math.Abs(workspace.ResistorAmps(Element));
}

/// <summary>Amperes through an inductor.</summary>
internal sealed record BranchCurrent(StressItem Item, int Element) : StressPoint(Item)
{
    public override double Read(Workspace workspace) =>
        workspace.HasBranchAmps(Element) ? Math.Abs(workspace.BranchAmps(Element)) : 0;
}

/// <summary>Volts and watts at a tube's electrode, and the current of its cathode.</summary>
/// <param name="Item">What is stressed.</param>
/// <param name="Pin">Pin of the electrode, or of the cathode for its current.</param>
/// <param name="Cathode">Pin of the cathode, or -1 for chassis.</param>
/// <param name="Sources">Current sources that end on the electrode, each with +1 where current flows from the electrode into it.</param>
internal sealed record ElectrodeStress(
    StressItem Item,
    int Pin,
    int Cathode,
    ImmutableArray<(int Element, int Sign)> Sources
) : StressPoint(Item)
{
    public override double Read(Workspace workspace)
    {
        var volts = workspace.PinVolts(Pin) - (Cathode < 0 ? 0 : workspace.PinVolts(Cathode));
        return Item.Kind switch
        {
            StressKind.PlateVolts
            or StressKind.ScreenVolts
            or StressKind.ColdPlateVolts
            or StressKind.ColdScreenVolts => Math.Max(0, volts),
            StressKind.ReverseVolts => Math.Max(0, -volts),
            StressKind.CathodeCurrent or StressKind.ForwardCurrent or StressKind.PeakCurrent =>
                Math.Max(0, Amps(workspace)),
            _ => Math.Max(0, volts * Amps(workspace)),
        };
    }

    private double Amps(Workspace workspace)
    {
        var amps = 0.0;
        foreach (var (element, sign) in Sources)
        {
            amps += sign * workspace.LawAmps(element);
        }
        return amps;
    }
}

/// <summary>Volts between a cathode and its heater, which stands at a DC level of its own.</summary>
internal sealed record HeaterVolts(StressItem Item, int Cathode, double Elevation)
    : StressPoint(Item)
{
    public override double Read(Workspace workspace) =>
        Math.Abs(workspace.PinVolts(Cathode) - Elevation);
}

/// <summary>Volts, amperes and watts of a diode or transistor.</summary>
internal sealed record SemiconductorStress(StressItem Item, int Element, int Main, int Reference)
    : StressPoint(Item)
{
    public override double Read(Workspace workspace)
    {
        var ends = workspace.Circuit.Circuit.Elements[Element].Terminals;
        var volts = workspace.PinVolts(ends[Main].Pin) - workspace.PinVolts(ends[Reference].Pin);
        var amps = workspace.TerminalAmps(Element, Main);
        return Item.Kind switch
        {
            StressKind.ReverseVolts => Math.Max(0, -volts),
            StressKind.ForwardCurrent or StressKind.PeakCurrent => Math.Max(0, amps),
            StressKind.CollectorVolts => Math.Abs(volts),
            StressKind.CollectorCurrent => Math.Abs(amps),
            _ => Math.Abs(volts * amps + ControlWatts(workspace, ends)),
        };
    }

    // A diode's power is between its two ends; a base takes some of a transistor's.
    private double ControlWatts(Workspace workspace, ImmutableArray<Terminal> ends) =>
        Reference == 1
            ? 0
            : (workspace.PinVolts(ends[1].Pin) - workspace.PinVolts(ends[Reference].Pin))
                * workspace.TerminalAmps(Element, 1);
}
