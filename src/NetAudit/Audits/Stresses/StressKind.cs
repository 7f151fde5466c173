namespace NetAudit.Audits.Stresses;

/// <summary>What a part has to endure.</summary>
public enum StressKind
{
    /// <summary>Watts in a resistor, potentiometer, diode or transistor.</summary>
    Power,

    /// <summary>Volts across a capacitor or resistor.</summary>
    Volts,

    /// <summary>Amperes through a winding.</summary>
    WindingCurrent,

    /// <summary>Amperes through a fuse.</summary>
    FuseCurrent,

    /// <summary>Volts from plate to cathode.</summary>
    PlateVolts,

    /// <summary>Watts in a plate.</summary>
    PlatePower,

    /// <summary>Volts from screen to cathode.</summary>
    ScreenVolts,

    /// <summary>Watts in a screen.</summary>
    ScreenPower,

    /// <summary>Amperes that a cathode gives.</summary>
    CathodeCurrent,

    /// <summary>Volts between heater and cathode, either way round.</summary>
    HeaterCathodeVolts,

    /// <summary>Ohms from a grid to its DC return.</summary>
    GridLeak,

    /// <summary>Volts across a diode or rectifier against its direction.</summary>
    ReverseVolts,

    /// <summary>Amperes through a diode or rectifier.</summary>
    ForwardCurrent,

    /// <summary>Volts from collector to emitter (drain to source), either way round.</summary>
    CollectorVolts,

    /// <summary>Amperes into a collector or drain.</summary>
    CollectorCurrent,

    /// <summary>Watts in a transistor at any one moment, with the volts and amperes of that moment: its DC safe area.</summary>
    SafeArea,

    /// <summary>Amperes through a diode or a rectifier's plate at any one moment.</summary>
    PeakCurrent,

    /// <summary>Watts in a plate that is driven; some data sheets allow more then.</summary>
    DrivenPlatePower,

    /// <summary>Watts in a screen that is driven; some data sheets allow more then.</summary>
    DrivenScreenPower,

    /// <summary>Volts across a capacitor or resistor while the supplies come up.</summary>
    SurgeVolts,

    /// <summary>Volts from plate to cathode of a tube that does not conduct yet.</summary>
    ColdPlateVolts,

    /// <summary>Volts from screen to cathode of a tube that does not conduct yet.</summary>
    ColdScreenVolts,
}

/// <summary>Stresses in words.</summary>
public static class StressWords
{
    /// <summary>The quantity in a few words: <c>plate power</c>.</summary>
    public static string Describe(this StressKind kind) =>
        kind switch
        {
            StressKind.WindingCurrent or StressKind.FuseCurrent => "current",
            StressKind.PlateVolts => "plate volts",
            StressKind.PlatePower => "plate power",
            StressKind.ScreenVolts => "screen volts",
            StressKind.ScreenPower => "screen power",
            StressKind.CathodeCurrent => "cathode current",
            StressKind.HeaterCathodeVolts => "heater to cathode",
            StressKind.GridLeak => "grid leak",
            StressKind.ReverseVolts => "reverse volts",
            StressKind.ForwardCurrent => "forward current",
            StressKind.CollectorVolts => "collector volts",
            StressKind.CollectorCurrent => "collector current",
            StressKind.SafeArea => "safe area",
            StressKind.PeakCurrent => "peak current",
            StressKind.DrivenPlatePower => "driven plate power",
            StressKind.DrivenScreenPower => "driven screen power",
            StressKind.SurgeVolts => "surge volts",
            StressKind.ColdPlateVolts => "cold plate volts",
            StressKind.ColdScreenVolts => "cold screen volts",
            _ => kind.ToString().ToLowerInvariant(),
        };

    /// <summary>Its SI unit.</summary>
    public static string Unit(this StressKind kind) =>
        kind switch
        {
            StressKind.Power
            or StressKind.PlatePower
            or StressKind.ScreenPower
            or StressKind.DrivenPlatePower
            or StressKind.DrivenScreenPower
            or StressKind.SafeArea => "W",
            StressKind.GridLeak => "Ω",
            StressKind.WindingCurrent
            or StressKind.FuseCurrent
            or StressKind.CathodeCurrent
            or StressKind.ForwardCurrent
            or StressKind.CollectorCurrent
            or StressKind.PeakCurrent => "A",
            _ => "V",
        };
}
