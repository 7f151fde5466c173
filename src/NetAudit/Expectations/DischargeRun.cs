using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>
/// Follows the capacitors of a circuit after the plug is pulled: implicit Euler in steps that grow with the time passed, so that each
/// time constant from milliseconds to a day is taken in as many.
/// </summary>
internal static class DischargeRun
{
    private const double FirstStep = 1e-3;
    private const double Day = 86400;

    // The error of a discharge time is about half of this.
    private const double Growth = 1.02;

    /// <summary>A bleeder is at least this; less is a load or a dropper (common practice, no source).</summary>
    private const double LeastBleederOhms = 1e3;

    public static ImmutableArray<Discharge> Of(
        Amplifier amplifier,
        CancellationToken cancellationToken
    )
    {
        var normal = CompiledCircuit.Compile(amplifier.Circuit);
        var running = new Workspace(normal);
        int[] capacitors = [.. Capacitors(amplifier)];
        if (capacitors.Length == 0 || !running.Solve([], cancellationToken).Converged)
        {
            return [];
        }
        var scenes = new SceneBuilder(amplifier, normal);
        if (scenes.Find(Condition.Of([new PowerOff()])).Scene is not { } off)
        {
            return [];
        }
        int[] charged =
        [
            .. capacitors.Where(e =>
                Math.Abs(Across(amplifier.Circuit, e, running.Volts)) > Discharge.SafeVolts
            ),
        ];
        var start = running.Volts.ToArray();
        int[] bleeders = [.. Bleeders(amplifier.Circuit, charged)];
        var times = Times(off, charged, start, [], cancellationToken);
        var without =
            bleeders.Length == 0 ? times : Times(off, charged, start, bleeders, cancellationToken);
        return
        [
            .. charged.Select(
                (e, i) =>
                    new Discharge(
                        amplifier.FindPart(amplifier.Circuit.Elements[e].Name)?.Name
                            ?? amplifier.Circuit.Elements[e].Name,
                        Math.Abs(Across(amplifier.Circuit, e, start)),
                        times[i],
                        without[i],
                        [.. bleeders.Select(b => amplifier.Circuit.Elements[b].Name)]
                    )
            ),
        ];
    }

    private static IEnumerable<int> Capacitors(Amplifier amplifier) =>
        amplifier
            .Parts.Where(part => part.Class is PartClass.Electrolytic or PartClass.Capacitor)
            .Where(part => amplifier.StageOf(part.Name) is { IsSupply: true })
            .SelectMany(part => part.Elements)
            .Where(e => amplifier.Circuit.Elements[e] is Capacitor);

    // Resistors right across one of the capacitors.
    private static IEnumerable<int> Bleeders(Circuit circuit, int[] capacitors) =>
        Enumerable
            .Range(0, circuit.Elements.Length)
            .Where(e =>
                circuit.Elements[e] is Resistor { Device: null, Ohms: >= LeastBleederOhms } bleeder
                && capacitors.Any(c =>
                    circuit
                        .Elements[c]
                        .Terminals.Select(t => t.Node)
                        .Order()
                        .SequenceEqual(bleeder.Terminals.Select(t => t.Node).Order())
                )
            );

    private static double Across(Circuit circuit, int element, ReadOnlySpan<double> volts)
    {
        var ends = circuit.Elements[element].Terminals;
        return volts[ends[0].Node] - volts[ends[1].Node];
    }

    private static double?[] Times(
        Scene off,
        int[] watched,
        double[] startVolts,
        int[] removed,
        CancellationToken cancellationToken
    )
    {
        var circuit = off.Compiled.Circuit;
        var workspace = Workspace.ForDynamics(off.Compiled);
        foreach (var (parameter, value) in off.Settings)
        {
            workspace.Set(parameter, value);
        }
        foreach (var element in removed)
        {
            workspace.Set(
                off.Compiled.FindParameter(ParameterKind.Value, element),
                double.PositiveInfinity
            );
        }
        int[] all =
        [
            .. workspace.Structure.Capacitances.Select(capacitance => capacitance.Element),
        ];
        var volts = all.Select(e => Across(circuit, e, startVolts)).ToArray();
        int[] places = [.. watched.Select(e => Array.IndexOf(all, e))];
        var times = new double?[watched.Length];
        var (time, step) = (0.0, FirstStep);
        var before = new double[watched.Length];
        var nodes = startVolts;
        while (time < Day && Array.Exists(times, t => t is null))
        {
            for (var i = 0; i < watched.Length; i++)
            {
                before[i] = Math.Abs(volts[places[i]]);
            }
            for (var i = 0; i < all.Length; i++)
            {
                var siemens = ((Capacitor)circuit.Elements[all[i]]).Farads / step;
                workspace.CapacitorSiemens[i] = siemens;
                workspace.CapacitorAmps[i] = -siemens * volts[i];
            }
            workspace.CompanionsChanged();
            if (!workspace.Solve(nodes, cancellationToken).Converged)
            {
                // Said as not known: no time.
                break;
            }
            nodes = workspace.Volts.ToArray();
            for (var i = 0; i < all.Length; i++)
            {
                volts[i] = workspace.CapacitorVolts(i);
            }
            for (var i = 0; i < watched.Length; i++)
            {
                var now = Math.Abs(volts[places[i]]);
                if (times[i] is null && now <= Discharge.SafeVolts)
                {
                    // Between the two ends as an exponential goes.
                    var part =
                        Math.Log(before[i] / Discharge.SafeVolts)
                        / Math.Log(before[i] / Math.Max(now, 1e-9));
                    times[i] = time + step * Math.Clamp(part, 0, 1);
                }
            }
            time += step;
            step = Math.Max(FirstStep, (Growth - 1) * time);
        }
        return times;
    }
}
