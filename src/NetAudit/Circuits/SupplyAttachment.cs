using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;

namespace NetAudit.Circuits;

/// <summary>Puts the supplies of a sheet into its circuit: each in the place of the source it names.</summary>
internal static class SupplyAttachment
{
    /// <summary>A capacitor of at least this many farads holds the volts at its node against ripple (common practice, no source).</summary>
    private const double FilterFarads = 1e-6;

    /// <summary>The circuit with its supplies, also when it is read again with other parameters.</summary>
    /// <param name="circuit">The circuit.</param>
    /// <param name="supplies">The sheet's supplies.</param>
    /// <param name="problem">Told of every supply that cannot be put in: its source's name, why, and how to mend it.</param>
    public static Circuit Attach(
        Circuit circuit,
        ImmutableArray<SupplyData> supplies,
        Action<string, string, string>? problem = null
    )
    {
        if (supplies.IsEmpty)
        {
            return circuit;
        }
        var elements = circuit.Elements.ToBuilder();
        foreach (var supply in supplies)
        {
            var index = circuit.FindElement(supply.Source);
            var reservoir = circuit.FindElement(supply.Reservoir);
            if (
                index < 0
                || reservoir < 0
                || circuit.Elements[index] is not VoltageSource source
                || circuit.Elements[reservoir] is not Capacitor
            )
            {
                // Names that are wrong are reported where all names are checked.
                if (index >= 0 && circuit.Elements[index] is CurrentSource)
                {
                    problem?.Invoke(
                        supply.Source,
                        $"{supply.Source} is a current source",
                        "name the voltage source that stands for the supply"
                    );
                }
                continue;
            }
            var (made, why, mend) = Make(circuit, supply, source, reservoir);
            if (made is null)
            {
                problem?.Invoke(supply.Source, why, mend);
                continue;
            }
            elements[index] = source with { Supply = made };
        }
        return circuit with
        {
            Elements = elements.ToImmutable(),
            ReadAgain = circuit.ReadAgain is { } read
                ? parameters =>
                {
                    var again = read(parameters);
                    return again.Circuit is { } other
                        ? again with
                        {
                            Circuit = Attach(other, supplies),
                        }
                        : again;
                }
                : null,
        };
    }

    private static (RectifierSupply? Supply, string Why, string Mend) Make(
        Circuit circuit,
        SupplyData data,
        VoltageSource source,
        int reservoir
    )
    {
        if (data.Secondary <= 0)
        {
            return (
                null,
                $"the supply {data.Name} does not say its secondary voltage",
                "add secondary = \"…V\", RMS, of one half when centre-tapped"
            );
        }
        var law = data.Rectifier is { } type
            ? RectifierPlates.Find(type)
            : (RectifierLaw)RectifierLaw.SolidState;
        if (law is null)
        {
            return (
                null,
                $"{data.Rectifier} is no rectifier tube that the built-in library knows",
                "write a rectifier type or solid-state"
            );
        }
        if (IsSensed(circuit, circuit.FindElement(source.Name)))
        {
            return (
                null,
                $"the current of {source.Name} controls another source, which a rectifier's cannot",
                "leave the [[supply]] out"
            );
        }
        var ends = circuit.Elements[reservoir].Terminals;
        var (first, second) = (source.Terminals[0].Node, source.Terminals[1].Node);
        foreach (var (hot, cold) in new[] { (ends[0], ends[1]), (ends[1], ends[0]) })
        {
            if (
                SupplyPaths.Resistors(circuit, first, hot.Node, second) is { } from
                && SupplyPaths.Resistors(circuit, second, cold.Node, first) is { } to
            )
            {
                return (
                    new(
                        data.Secondary,
                        data.WindingResistance,
                        law,
                        data.Circuit,
                        data.Frequency,
                        reservoir,
                        (hot, cold),
                        [.. from, .. to],
                        SupplyPaths.SmoothingSiemens(circuit, hot.Node, [.. from], FilterFarads)
                    ),
                    "",
                    ""
                );
            }
        }
        return (
            null,
            $"no path of resistors leads from {source.Name} to the reservoir {data.Reservoir}",
            "name the first capacitor behind the rectifier; a supply with a choke before it is left as a source"
        );
    }

    private static bool IsSensed(Circuit circuit, int element) =>
        circuit.Elements.Any(e =>
            e is CurrentControlledSource source && source.Control == element
            || e is BehaviouralSource law && law.ControlCurrents.Contains(element)
        );
}
