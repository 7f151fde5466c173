using NetAudit.Circuits;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units.Evidence;

/// <summary>Puts an amplifier into the conditions that readings are taken in.</summary>
public sealed class BenchConditions(Amplifier amplifier)
{
    private readonly Circuit circuit = amplifier.Circuit;

    public BenchCondition Normal => new("", circuit, unit => unit.Edits);

    /// <summary>Mains off and everything discharged: tubes cold, sources dead.</summary>
    public BenchCondition Off()
    {
        var dead = circuit with { Elements = [.. circuit.Elements.Select(WithoutPower)] };
        var cold = TubeCurrents(_ => true).Select(e => new SetStrength(e, 0)).ToArray();
        return new(
            "off",
            dead,
            unit =>
                unit.Edits.Where(edit => edit is not SetValue set || !IsSource(set.Element))
                    .Where(edit => edit is not AddCurrent)
                    .Concat(cold)
        );
    }

    /// <summary>Another wall voltage, set by its own meter: within half a per cent.</summary>
    public BenchCondition Mains(double volts, Random random)
    {
        var ratio = volts / amplifier.Sheet.Mains.Nominal!.Value;
        return new(
            FormattableString.Invariant($"mains={volts}"),
            circuit,
            unit =>
            {
                var error = 1 + 0.005 * random.Between(-1, 1);
                return unit
                    .Spread.Where(edit => edit is not SetValue set || !IsMainsFed(set.Element))
                    .Concat(
                        Enumerable
                            .Range(0, circuit.Elements.Length)
                            .Where(IsMainsFed)
                            .Select(e => new SetValue(e, Volts(e) * ratio * error))
                    )
                    .Concat(unit.Faults.SelectMany(f => f.Edits).Select(Lowered));

                CircuitEdit Lowered(CircuitEdit edit) =>
                    edit is SetValue set && IsMainsFed(set.Element)
                        ? set with
                        {
                            Value = set.Value * ratio,
                        }
                        : edit;
            }
        );
    }

    /// <summary>A switch in a position; null when the netlist cannot be read so.</summary>
    public BenchCondition? Switched(string position)
    {
        var found = amplifier
            .Sheet.Switches.SelectMany(s => s.Positions)
            .FirstOrDefault(p => p.Name.Equals(position, StringComparison.OrdinalIgnoreCase));
        if (
            found is null
            || !found.Settings.Keys.All(k =>
                circuit.Parameters.Contains(k, StringComparer.OrdinalIgnoreCase)
            )
            || circuit.ReadAgain?.Invoke(found.Settings).Circuit is not { } switched
        )
        {
            return null;
        }
        return new(
            position,
            switched,
            // What the switch itself sets, no spread or fault of its closed state changes.
            unit =>
                unit.Edits.Where(edit =>
                    edit is not SetValue set
                    || circuit.Elements[set.Element] is not Resistor before
                    || switched.Elements[set.Element] is not Resistor after
                    || before.Ohms == after.Ohms
                )
        );
    }

    /// <summary>A known-good tube in place of one.</summary>
    public BenchCondition Swapped(Part tube)
    {
        var inside = TubeCurrents(s => tube.Sections.Any(own => own.Instance == s.Instance))
            .ToHashSet();
        var grids = tube.Sections.Select(s => s.Grid).ToHashSet();
        return new(
            $"swap {tube.Name}",
            circuit,
            unit =>
                unit.Spread.Where(edit => !IsOfTube(edit))
                    .Concat(unit.OtherTubes.Where(IsOfTube))
                    .Concat(unit.Faults.Where(f => !IsInside(f)).SelectMany(f => f.Edits))
        );

        bool IsOfTube(CircuitEdit edit) =>
            edit is SetStrength strength && inside.Contains(strength.Element)
            || edit is SetOffset offset && grids.Contains(offset.Pin);

        // What is wrong at a pin or between pins is the socket's.
        bool IsInside(UnitFault fault) =>
            fault.Pin is null
            && fault.Nodes is null
            && (fault.Part == tube.Name || tube.Sections.Any(s => s.Instance == fault.Part));
    }

    /// <summary>A test signal fed in at a node, volts RMS.</summary>
    public BenchCondition Injected(int node, double volts) =>
        Normal with
        {
            Text = FormattableString.Invariant(
                $"inject {circuit.Nodes[node].Name}; signal={volts}"
            ),
            InjectedNode = node,
            SignalVolts = volts,
        };

    private IEnumerable<int> TubeCurrents(Func<TubeSection, bool> wanted)
    {
        var devices = amplifier
            .Parts.SelectMany(p => p.Sections)
            .Where(wanted)
            .Select(s => s.Instance)
            .ToHashSet();
        return Enumerable
            .Range(0, circuit.Elements.Length)
            .Where(i =>
                circuit.Elements[i]
                    is BehaviouralSource { Kind: OutputKind.Current }
                        or VoltageControlledSource { Kind: OutputKind.Current }
                && circuit.Elements[i].Device is { } device
                && devices.Contains(device)
            );
    }

    private Element WithoutPower(Element element) =>
        element switch
        {
            VoltageSource v when IsOpenWhenOff(v) => new CurrentSource(
                v.Name,
                v.Terminals,
                new(0),
                v.Where
            ),
            VoltageSource v => v with { Stimulus = new(0) },
            CurrentSource i => i with { Stimulus = new(0) },
            _ => element,
        };

    // A generator is unplugged, and a source behind a rectifier does not conduct.
    private bool IsOpenWhenOff(VoltageSource source) =>
        amplifier.Sheet.Fixtures.Contains(source.Name, StringComparer.OrdinalIgnoreCase)
        || amplifier.Sheet.OpenWhenOff.Contains(source.Name, StringComparer.OrdinalIgnoreCase);

    private bool IsSource(int element) =>
        circuit.Elements[element] is VoltageSource or CurrentSource;

    private bool IsMainsFed(int element) =>
        circuit.Elements[element] is VoltageSource source
        && amplifier.Sheet.Mains.Sources.Contains(source.Name, StringComparer.OrdinalIgnoreCase);

    private double Volts(int element) => ((VoltageSource)circuit.Elements[element]).Stimulus.Dc;
}
