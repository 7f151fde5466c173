using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Tubes;

namespace NetAudit.Audits.Stresses;

/// <summary>Stresses of tubes, section by section, against the limits of the tube table.</summary>
internal static class TubeStresses
{
    public static void Add(
        ImmutableArray<StressPoint>.Builder points,
        Amplifier amplifier,
        Part part
    )
    {
        var circuit = amplifier.Circuit;
        var elevation = amplifier
            .Sheet.Heaters.FirstOrDefault(heater =>
                heater.Tubes.Contains(part.Name, StringComparer.OrdinalIgnoreCase)
            )
            ?.Elevation;
        foreach (var section in part.Sections.Where(section => section.Plate >= 0))
        {
            var name = NameOf(part, section);
            var sources = TubeSources.Of(circuit, section);
            var plate = Signed(circuit, sources.Plate, section.Plate);
            if (section.Grid < 0)
            {
                AddElectrode(StressKind.ReverseVolts, "peak_inverse_volts_max", section.Plate, []);
                AddElectrode(StressKind.ForwardCurrent, "output_amps_max", section.Plate, plate);
                AddElectrode(StressKind.PeakCurrent, "plate_amps_max_peak", section.Plate, plate);
                continue;
            }
            AddElectrode(StressKind.PlateVolts, "plate_volts_max", section.Plate, []);
            AddElectrode(StressKind.ColdPlateVolts, "plate_volts_max_cold", section.Plate, []);
            AddElectrode(StressKind.PlatePower, "plate_watts_max", section.Plate, plate);
            AddElectrode(
                StressKind.DrivenPlatePower,
                Rated("plate_watts_max_driven") ?? "plate_watts_max",
                section.Plate,
                plate
            );
            var emission = plate;
            if (section.Screen >= 0)
            {
                var screen = Signed(circuit, [.. sources.Screen, .. sources.Plate], section.Screen);
                AddElectrode(StressKind.ScreenVolts, "screen_volts_max", section.Screen, []);
                AddElectrode(
                    StressKind.ColdScreenVolts,
                    "screen_volts_max_cold",
                    section.Screen,
                    []
                );
                AddElectrode(StressKind.ScreenPower, "screen_watts_max", section.Screen, screen);
                AddElectrode(
                    StressKind.DrivenScreenPower,
                    Rated("screen_watts_max_peak") ?? "screen_watts_max",
                    section.Screen,
                    screen
                );
                emission = [.. plate, .. screen];
            }
            AddElectrode(StressKind.CathodeCurrent, "cathode_amps_max", section.Plate, emission);
            if (section.Cathode >= 0)
            {
                points.Add(
                    new HeaterVolts(
                        Item(StressKind.HeaterCathodeVolts, "heater_cathode_volts_max"),
                        section.Cathode,
                        elevation ?? 0
                    )
                );
            }

            void AddElectrode(
                StressKind kind,
                string rating,
                int pin,
                ImmutableArray<(int, int)> currents
            ) =>
                points.Add(new ElectrodeStress(Item(kind, rating), pin, section.Cathode, currents));

            string? Rated(string rating) =>
                part.TubeType?.Ratings.ContainsKey(rating) == true ? rating : null;

            StressItem Item(StressKind kind, string rating) =>
                part.TubeType is { } type && type.Ratings.TryGetValue(rating, out var limit)
                    ? new(name, kind, limit, $"{type.Name} data sheet")
                    : new(name, kind, null, "");
        }
    }

    /// <summary>The section as diagnoses name it.</summary>
    public static string NameOf(Part part, TubeSection section) =>
        part.Sections.Select(other => other.Instance).Distinct().Count() == 1
            ? part.Name
            : section.Instance;

    // A source that leaves by the electrode takes current from it; one that only ends there gives.
    private static ImmutableArray<(int, int)> Signed(
        Circuit circuit,
        ImmutableArray<int> sources,
        int pin
    ) =>
        [
            .. sources
                .Where(e => circuit.Elements[e].Terminals.Any(end => end.Pin == pin))
                .Select(e => (e, circuit.Elements[e].Terminals[0].Pin == pin ? 1 : -1)),
        ];
}
