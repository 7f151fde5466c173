using NetAudit.Circuits.Tubes;

namespace NetAudit.Circuits.Sheets;

/// <summary>What people, sheets and subcircuit ports call electrodes.</summary>
internal static class ElectrodeNames
{
    private static readonly Dictionary<string, Electrode> ByName = new(
        StringComparer.OrdinalIgnoreCase
    )
    {
        ["plate"] = Electrode.Plate,
        ["anode"] = Electrode.Plate,
        ["p"] = Electrode.Plate,
        ["a"] = Electrode.Plate,
        ["p1"] = Electrode.Plate,
        ["p2"] = Electrode.Plate,
        ["a1"] = Electrode.Plate,
        ["a2"] = Electrode.Plate,
        ["grid"] = Electrode.Grid,
        ["g"] = Electrode.Grid,
        ["g1"] = Electrode.Grid,
        ["cathode"] = Electrode.Cathode,
        ["k"] = Electrode.Cathode,
        ["c"] = Electrode.Cathode,
        ["screen"] = Electrode.Screen,
        ["g2"] = Electrode.Screen,
        ["s"] = Electrode.Screen,
        ["sc"] = Electrode.Screen,
        ["suppressor"] = Electrode.Suppressor,
        ["g3"] = Electrode.Suppressor,
        ["heater"] = Electrode.Heater,
        ["h"] = Electrode.Heater,
        ["f"] = Electrode.Heater,
        ["centre-tap"] = Electrode.HeaterCentreTap,
        ["shield"] = Electrode.Shield,
        ["none"] = Electrode.None,
        ["nc"] = Electrode.None,
    };

    /// <summary>The words to offer when one is not understood.</summary>
    public static IEnumerable<string> Words => ByName.Keys.Where(word => word.Length > 3);

    /// <summary>The electrode of that name, or null.</summary>
    public static Electrode? Find(string name) =>
        ByName.TryGetValue(name, out var found) ? found : null;

    /// <summary>The electrode in words, as after a pin number.</summary>
    public static string Word(Electrode electrode) =>
        electrode switch
        {
            Electrode.Plate => "plate",
            Electrode.Grid => "grid",
            Electrode.Cathode => "cathode",
            Electrode.Screen => "screen",
            Electrode.Suppressor => "suppressor",
            Electrode.Heater => "heater",
            Electrode.HeaterCentreTap => "heater centre tap",
            Electrode.Shield => "shield",
            _ => "not connected",
        };
}
