using NetAudit.Common;

namespace NetAudit.Diagnosis;

/// <summary>Faults in words.</summary>
public static class FaultWords
{
    /// <summary>The fault in a few words: <c>R3 open</c>, <c>V1 pin 3: joint open</c>, <c>V2 weak, 55 % of its current</c>.</summary>
    public static string Describe(this Fault fault)
    {
        var at = fault.Pin is null ? fault.Part : $"{fault.Part} pin {fault.Pin}";
        var value = fault.Value is { } v ? Value(v, fault.Unit) : null;
        return fault.Mode switch
        {
            FaultMode.OpenJoint => $"{at}: joint open",
            FaultMode.ResistiveJoint =>
                $"{at}: bad joint{(value is null ? "" : $", about {value}")}",
            FaultMode.Bridged => $"{fault.Part} pins {fault.Pin} bridged",
            FaultMode.Drifted => $"{at} drifted{(value is null ? "" : $" to about {value}")}",
            FaultMode.WrongValue => $"{at} wrong value{(value is null ? "" : $", about {value}")}",
            FaultMode.Leaky => $"{at} leaky{(value is null ? "" : $", about {value}")}",
            FaultMode.DriedOut => $"{at} dried out{(value is null ? "" : $", about {value} left")}",
            FaultMode.Weak => $"{at} weak{(value is null ? "" : $", {value}")}",
            FaultMode.Gassy =>
                $"{at} gassy{(value is null ? "" : $", grid current about {value}")}",
            FaultMode.GridCathodeShort => $"{at} grid shorted to cathode",
            FaultMode.HeaterCathodeLeak =>
                $"{at} leaks from heater to cathode{(value is null ? "" : $", about {value}")}",
            FaultMode.HeaterOpen => $"{at} not heated",
            FaultMode.SupplyLow => $"{at} {(value is null ? "gives nothing" : $"low, {value}")}",
            FaultMode.SupplyHigh => $"{at} high{(value is null ? "" : $", {value}")}",
            FaultMode.RectifierDead => $"{at}: one rectifier dead",
            FaultMode.RectifierWeak => $"{at}: rectifier weak{(value is null ? "" : $", {value}")}",
            FaultMode.RectifierPlateWeak =>
                $"{at}: one rectifier plate weak{(value is null ? "" : $", {value}")}",
            FaultMode.HalfWindingOpen => $"{at}: half of the winding open",
            FaultMode.MainsLow => $"{at}: wall voltage low{(value is null ? "" : $", {value}")}",
            _ => $"{at} {fault.Mode.Name()}",
        };
    }

    private static string Value(double value, string? unit) =>
        unit == "×"
            ? $"{EngineeringNotation.Format(100 * value, digits: 2)} % of normal"
            : EngineeringNotation.Format(value, unit, 2);
}
