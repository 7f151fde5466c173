using NetAudit.Circuits;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units.Faults;

/// <summary>Tubes: a worn or dead section, gas, shorts and leaks between electrodes, the heater.</summary>
internal static class TubeFaults
{
    // No emission: what is left is leakage, far below what any meter shows.
    private const double NoEmission = 1e-6;

    public static IEnumerable<FaultKind> Of(Circuit circuit, Part part)
    {
        var everySection = part.Sections.SelectMany(section =>
            Emission(circuit, section, NoEmission)
        );
        yield return new(
            0.15,
            _ => new(part.Name, "heater-open", null, null, null, [.. everySection])
        );
        foreach (var section in part.Sections)
        {
            var (plate, grid, cathode) = (
                circuit.Pins[section.Plate].Node,
                section.Grid < 0 ? -1 : circuit.Pins[section.Grid].Node,
                circuit.Pins[section.Cathode].Node
            );
            yield return new(
                0.4,
                random =>
                {
                    var factor = random.Between(0.2, 0.75);
                    return new(
                        section.Instance,
                        "weak",
                        null,
                        null,
                        factor,
                        [.. Emission(circuit, section, factor)]
                    );
                }
            );
            yield return new(
                0.1,
                _ =>
                    new(
                        section.Instance,
                        "dead",
                        null,
                        null,
                        null,
                        [.. Emission(circuit, section, NoEmission)]
                    )
            );
            if (cathode != 0)
            {
                yield return new(
                    0.1,
                    random =>
                    {
                        var ohms = random.Decades(1e3, 1e6);
                        return new(
                            section.Instance,
                            "heater-cathode-leak",
                            null,
                            null,
                            ohms,
                            [new AddBridge(cathode, 0, ohms)]
                        );
                    }
                );
            }
            if (grid < 0)
            {
                continue;
            }
            yield return new(
                0.2,
                random =>
                {
                    // Positive ions land on the grid, their electrons on the plate.
                    var amps = random.Decades(3e-7, 3e-5);
                    return new(
                        section.Instance,
                        "gassy",
                        null,
                        null,
                        amps,
                        [new AddCurrent(plate, grid, amps)]
                    );
                }
            );
            if (grid != cathode)
            {
                yield return new(
                    0.1,
                    _ =>
                        new(
                            section.Instance,
                            "grid-cathode-short",
                            null,
                            null,
                            null,
                            [new AddBridge(grid, cathode, 1)]
                        )
                );
            }
        }
    }

    /// <summary>Scales the plate and screen currents of a section, not its grid current.</summary>
    internal static IEnumerable<CircuitEdit> Emission(
        Circuit circuit,
        TubeSection section,
        double factor
    ) => CurrentSources(circuit, section).Select(element => new SetStrength(element, factor));

    private static IEnumerable<int> CurrentSources(Circuit circuit, TubeSection section)
    {
        for (var i = 0; i < circuit.Elements.Length; i++)
        {
            var element = circuit.Elements[i];
            var isCurrent =
                element
                is BehaviouralSource { Kind: OutputKind.Current }
                    or VoltageControlledSource { Kind: OutputKind.Current };
            if (
                isCurrent
                && element.Device == section.Instance
                && element.Terminals.Any(IsPlateOrScreen)
            )
            {
                yield return i;
            }
        }
        bool IsPlateOrScreen(Terminal end) =>
            end.Pin >= 0 && (end.Pin == section.Plate || end.Pin == section.Screen);
    }
}
