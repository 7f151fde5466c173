namespace NetAudit.Audits.Stresses;

/// <summary>When parts are looked at.</summary>
public enum StressCondition
{
    /// <summary>At rest, mains nominal.</summary>
    Idle,

    /// <summary>At rest, the mains 10 % high.</summary>
    HighMains,

    /// <summary>Driven by the test signal to the onset of clipping, in the steady state.</summary>
    Clipping,

    /// <summary>Supplies switched on with empty capacitors and cold tubes.</summary>
    SwitchOn,
}

/// <summary>What of a stress that changes with time is held against its limit.</summary>
internal enum StressMeasure
{
    /// <summary>The mean: what heats, and limits that data sheets give for direct voltages and currents.</summary>
    Mean,

    /// <summary>The root of the mean square: what heats a wire.</summary>
    Rms,

    /// <summary>The largest value: what breaks down.</summary>
    Peak,
}

/// <summary>Which stresses a condition shows, and how.</summary>
internal static class StressConditions
{
    /// <summary>The condition as reports name it.</summary>
    public static string Name(this StressCondition condition) =>
        condition switch
        {
            StressCondition.HighMains => "mains +10 %",
            StressCondition.SwitchOn => "switch-on",
            _ => condition.ToString().ToLowerInvariant(),
        };

    /// <summary>Whether a stress has a meaning in a condition: at switch-on only volts have, since nothing has had time to get hot.</summary>
    public static bool ShowsIn(this StressKind kind, StressCondition condition) =>
        kind switch
        {
            StressKind.SurgeVolts or StressKind.ColdPlateVolts or StressKind.ColdScreenVolts =>
                condition == StressCondition.SwitchOn,
            StressKind.SafeArea or StressKind.DrivenPlatePower or StressKind.DrivenScreenPower =>
                condition == StressCondition.Clipping,
            StressKind.PlatePower or StressKind.ScreenPower => condition
                is StressCondition.Idle
                    or StressCondition.HighMains,
            StressKind.HeaterCathodeVolts or StressKind.ReverseVolts or StressKind.CollectorVolts =>
                true,
            _ => condition != StressCondition.SwitchOn,
        };

    /// <summary>What of it counts when it changes with time.</summary>
    public static StressMeasure Measure(this StressKind kind) =>
        kind switch
        {
            StressKind.WindingCurrent or StressKind.FuseCurrent => StressMeasure.Rms,
            StressKind.Power
            or StressKind.PlatePower
            or StressKind.ScreenPower
            or StressKind.DrivenPlatePower
            or StressKind.DrivenScreenPower
            or StressKind.PlateVolts
            or StressKind.ScreenVolts
            or StressKind.CathodeCurrent
            or StressKind.ForwardCurrent => StressMeasure.Mean,
            _ => StressMeasure.Peak,
        };
}
