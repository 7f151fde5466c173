using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.Ngspice;

namespace NetAudit.Reference.Units.Evidence;

/// <summary>Measures volts, levels and resistances of a unit in a condition by ngspice, the meter connected at one node after another.</summary>
public sealed class BenchMeter(Amplifier amplifier)
{
    private const double Disconnected = 1e15;
    private const double NoCapacitance = 1e-18;

    /// <summary>Set to alternating volts a meter is coupled by a capacitor, so that it leaves the operating point alone.</summary>
    private const double CouplingFarads = 1e-6;

    /// <summary>
    /// An ohmmeter stands on its smallest test current while its leads hang open, and goes up until it finds volts within these (common
    /// practice, no source).
    /// </summary>
    private const double LeastVolts = 0.02;
    private const double MostVolts = 0.2;
    private const double LargestCurrent = 1e-3;
    private const double LeastCurrent = 1e-9;

    /// <summary>Above this it shows over-range.</summary>
    private const double MostOhms = 40e6;

    /// <summary>A signal generator: its resistance, and the capacitor it is fed in through (common practice, no source).</summary>
    private const double GeneratorOhms = 600;
    private const double BlockingFarads = 100e-9;

    private readonly Meter meter = amplifier.Sheet.Meter;

    /// <summary>Volts at the nodes; null when ngspice finds no operating point.</summary>
    public double[]? Volts(BenchCondition condition, BenchUnit unit, ImmutableArray<int> nodes) =>
        EachNode(
            condition,
            unit,
            nodes,
            false,
            [],
            (session, i) =>
                session.OperatingPoint() ? session.Value(FlatNetlist.Node(nodes[i])) : null
        );

    /// <summary>Levels of the test signal at the nodes, volts RMS; null when ngspice finds no operating point.</summary>
    public double[]? Levels(BenchCondition condition, BenchUnit unit, ImmutableArray<int> nodes)
    {
        var signal = amplifier.Sheet.Signal!;
        var source = amplifier.Circuit.FindElement(signal.Source);
        string[] generator =
            condition.InjectedNode < 0
                ? []
                :
                [
                    "vinjected injected 0 DC 0 AC 0",
                    $"rinjected injected blocked {FlatNetlist.Text(GeneratorOhms)}",
                    $"cinjected blocked {FlatNetlist.Node(condition.InjectedNode)} {FlatNetlist.Text(BlockingFarads)}",
                ];
        var excited = condition.InjectedNode < 0 ? $"v{source}" : "vinjected";
        return EachNode(
            condition,
            unit,
            nodes,
            true,
            generator,
            (session, i) =>
            {
                session.Excite(excited, condition.SignalVolts ?? signal.Level);
                // A sweep of no width has no points: the second is not looked at.
                return session.SmallSignal(1, signal.Frequency, 10 * signal.Frequency)
                    ? session.Level(FlatNetlist.Node(nodes[i]), 0).Magnitude
                    : null;
            }
        );
    }

    /// <summary>Ohms between the nodes and chassis, infinite when over-range; null when ngspice finds no operating point.</summary>
    public static double[]? Ohms(
        BenchCondition condition,
        BenchUnit unit,
        ImmutableArray<int> nodes
    )
    {
        var lines = FlatNetlist.Write(condition.Circuit, condition.Adjust(unit)).ToList();
        lines.InsertRange(
            lines.Count - 1,
            nodes.Select((node, i) => $"itest{i} 0 {FlatNetlist.Node(node)} DC 0")
        );
        return NgspiceSession.Use(session =>
        {
            session.Load(lines);
            var ohms = new double[nodes.Length];
            for (var i = 0; i < ohms.Length; i++)
            {
                ohms[i] = double.PositiveInfinity;
                var isKnown = false;
                for (var amps = LeastCurrent; amps < 2 * LargestCurrent; amps *= 10)
                {
                    session.Alter($"itest{i}", amps);
                    if (!session.OperatingPoint())
                    {
                        // Current driven into what is open finds no end: the one before is what the meter takes then.
                        if (isKnown)
                        {
                            break;
                        }
                        continue;
                    }
                    isKnown = true;
                    var volts = session.Value(FlatNetlist.Node(nodes[i]));
                    if (volts > MostVolts)
                    {
                        break;
                    }
                    ohms[i] = volts / amps;
                    if (volts >= LeastVolts)
                    {
                        break;
                    }
                }
                if (!isKnown)
                {
                    return null;
                }
                if (ohms[i] > MostOhms)
                {
                    ohms[i] = double.PositiveInfinity;
                }
                session.Alter($"itest{i}", 0);
            }
            return ohms;
        });
    }

    private double[]? EachNode(
        BenchCondition condition,
        BenchUnit unit,
        ImmutableArray<int> nodes,
        bool blocksDirectCurrent,
        string[] further,
        Func<NgspiceSession, int, double?> read
    )
    {
        var lines = FlatNetlist.Write(condition.Circuit, condition.Adjust(unit)).ToList();
        for (var i = 0; i < nodes.Length; i++)
        {
            var node = FlatNetlist.Node(nodes[i]);
            var probe = blocksDirectCurrent ? $"probe{i}" : node;
            lines.InsertRange(
                lines.Count - 1,
                [
                    $"rmeter{i} {probe} 0 {FlatNetlist.Text(Disconnected)}",
                    $"cmeter{i} {node} 0 {FlatNetlist.Text(NoCapacitance)}",
                ]
            );
            if (blocksDirectCurrent)
            {
                lines.Insert(
                    lines.Count - 1,
                    $"cprobe{i} {node} {probe} {FlatNetlist.Text(CouplingFarads)}"
                );
            }
        }
        lines.InsertRange(lines.Count - 1, further);
        return NgspiceSession.Use(session =>
        {
            session.Load(lines);
            var values = new double[nodes.Length];
            for (var i = 0; i < values.Length; i++)
            {
                session.Alter($"rmeter{i}", meter.InputResistance);
                session.Alter($"cmeter{i}", meter.InputCapacitance);
                if (read(session, i) is not { } value)
                {
                    return null;
                }
                values[i] = value;
                session.Alter($"rmeter{i}", Disconnected);
                session.Alter($"cmeter{i}", NoCapacitance);
            }
            return values;
        });
    }
}
