using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Expectations.Scenes;

/// <summary>The circuit of an amplifier with the values it has in a condition: controls, switches, sources, loads.</summary>
internal static class SceneCircuit
{
    /// <summary>A closed switch contact that a sheet gives as 0 Ω.</summary>
    private const double ClosedOhms = 1e-3;

    /// <summary>The circuit (the amplifier's own when no value differs), or why there is none.</summary>
    public static (Circuit? Circuit, string? Reason) Of(Amplifier amplifier, Condition condition)
    {
        var parameters = new Dictionary<string, double>(StringComparer.OrdinalIgnoreCase);
        var values = new Dictionary<string, double>(StringComparer.OrdinalIgnoreCase);
        foreach (var term in condition.Terms)
        {
            switch (term)
            {
                case ControlSetting setting:
                    var control = amplifier.Sheet.Controls.First(c =>
                        Same(c.Name, setting.Control)
                    );
                    parameters[control.Parameter] = control.ValueAt(setting.Position);
                    break;
                case SwitchSetting setting:
                    foreach (var (name, value) in PositionOf(amplifier, setting).Settings)
                    {
                        var isParameter = amplifier.Circuit.Parameters.Contains(
                            name,
                            StringComparer.OrdinalIgnoreCase
                        );
                        (isParameter ? parameters : values)[name] = value;
                    }
                    break;
            }
        }
        if (
            amplifier.Sheet.Mains.Nominal is null
            && condition.Terms.Any(term => term is MainsVoltage)
        )
        {
            return (
                null,
                "the sheet does not say at which wall voltage the netlist's sources hold"
            );
        }
        if (
            condition.Terms.Any(term => term is LoadOhms)
            && !amplifier.Circuit.Elements.Any(element =>
                element is Resistor && Contains(amplifier.Sheet.Fixtures, element.Name)
            )
        )
        {
            return (null, "no load resistor is among the sheet's fixtures");
        }
        var circuit = amplifier.Circuit;
        if (parameters.Count > 0)
        {
            if (circuit.ReadAgain?.Invoke(parameters).Circuit is not { } again)
            {
                return (null, "the netlist cannot be read with those settings");
            }
            if (!HasSameShape(circuit, again))
            {
                return (null, "the settings change the circuit's parts, not only their values");
            }
            circuit = again;
        }
        var elements = circuit.Elements.ToBuilder();
        var changed = false;
        for (var i = 0; i < elements.Count; i++)
        {
            var element = In(amplifier, condition, values, elements[i]);
            changed |= !ReferenceEquals(element, elements[i]);
            elements[i] = element;
        }
        return (changed ? circuit with { Elements = elements.ToImmutable() } : circuit, null);
    }

    private static Element In(
        Amplifier amplifier,
        Condition condition,
        Dictionary<string, double> values,
        Element element
    )
    {
        if (values.TryGetValue(element.Name, out var value))
        {
            element = element switch
            {
                Resistor r => r with { Ohms = Math.Clamp(value, ClosedOhms, 1e12) },
                VoltageSource { Supply: not null } v => v.AtMains(value / v.Stimulus.Dc),
                VoltageSource v => v with { Stimulus = v.Stimulus with { Dc = value } },
                CurrentSource i => i with { Stimulus = i.Stimulus with { Dc = value } },
                _ => element,
            };
        }
        var isFixture = Contains(amplifier.Sheet.Fixtures, element.Name);
        foreach (var term in condition.Terms)
        {
            element = (term, element) switch
            {
                (LoadOhms load, Resistor r) when isFixture => r with { Ohms = load.Ohms },
                (MainsVoltage mains, VoltageSource v)
                    when amplifier.Sheet.Mains.Nominal is { } nominal
                        && MainsSources.Follows(amplifier, v) => v.AtMains(mains.Volts / nominal),
                (PowerOff, VoltageSource { Supply: not null } v) => v.AtMains(0),
                // A generator is unplugged; a source behind a rectifier does not conduct; any other is a short.
                (PowerOff, VoltageSource v)
                    when isFixture || Contains(amplifier.Sheet.OpenWhenOff, v.Name) =>
                    new CurrentSource(v.Name, v.Terminals, new(0), v.Where) { Device = v.Device },
                (PowerOff, VoltageSource v) => v with { Stimulus = new(0) },
                (PowerOff, CurrentSource i) => i with { Stimulus = new(0) },
                _ => element,
            };
        }
        return element;
    }

    private static SwitchPosition PositionOf(Amplifier amplifier, SwitchSetting setting) =>
        amplifier
            .Sheet.Switches.First(s => Same(s.Name, setting.Switch))
            .Positions.First(p => Same(p.Name, setting.Position));

    private static bool HasSameShape(Circuit circuit, Circuit again) =>
        circuit.Elements.Length == again.Elements.Length
        && circuit.Nodes.Length == again.Nodes.Length
        && circuit
            .Elements.Zip(again.Elements)
            .All(pair =>
                pair.First.GetType() == pair.Second.GetType()
                && pair.First.Terminals.SequenceEqual(pair.Second.Terminals)
            );

    private static bool Contains(ImmutableArray<string> names, string name) =>
        names.Contains(name, StringComparer.OrdinalIgnoreCase);

    private static bool Same(string a, string b) => a.Equals(b, StringComparison.OrdinalIgnoreCase);
}
