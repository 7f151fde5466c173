using NetAudit.Circuits;

namespace NetAudit.Fuzz.Targets;

/// <summary>A small amplifier for sheets, readings and calibrations to speak of.</summary>
internal static class Unit
{
    public static CircuitReadResult Netlist { get; } =
        CircuitReader.ReadText(Resource.Text("unit.cir"), "unit.cir");

    public static Amplifier Amplifier { get; } =
        AmplifierReader.ReadText(Netlist, Resource.Text("unit.sheet.toml")).Amplifier
        ?? throw new InvalidOperationException("the unit does not read");
}
