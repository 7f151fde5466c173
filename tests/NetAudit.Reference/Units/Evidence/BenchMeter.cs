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

    /// <summary>
    /// Open leads stand at no more than this (common practice, no source: a meter's battery); so high that within
    /// <see cref="MostVolts"/> the test current is all but 2 % of the whole one. One that nothing limits would be driven into what is open, and ngspice
    /// is very slow to find that it leads nowhere.
    /// </summary>
    private const double OpenVolts = 10;

    /// <summary>
    /// Junctions without bias carry next to nothing, and where more digits are asked for ngspice goes round in circles about them. This
    /// is its default; the last step of Newton's method leaves far less.
    /// </summary>
    private const string Settings = ".options reltol=1e-3";

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
        lines.Insert(lines.Count - 1, Settings);
        for (var i = 0; i < nodes.Length; i++)
        {
            var node = FlatNetlist.Node(nodes[i]);
            lines.InsertRange(
                lines.Count - 1,
                [$"itest{i} 0 {node} DC 0", $"rtest{i} {node} 0 {FlatNetlist.Text(Disconnected)}"]
            );
        }
        return NgspiceSession.Use(session =>
        {
            session.Load(lines);
            var ohms = new double[nodes.Length];
            for (var i = 0; i < ohms.Length; i++)
            {
                if (Ohms(session, i, FlatNetlist.Node(nodes[i])) is not { } value)
                {
                    return null;
                }
                ohms[i] = value > MostOhms ? double.PositiveInfinity : value;
            }
            return ohms;
        });
    }

    /// <summary>Ohms that test source i finds between the node and chassis; null when ngspice finds no operating point.</summary>
    private static double? Ohms(NgspiceSession session, int i, string node)
    {
        var ohms = double.PositiveInfinity;
        for (var amps = LeastCurrent; amps < 2 * LargestCurrent; amps *= 10)
        {
            session.Alter($"itest{i}", amps);
            session.Alter($"rtest{i}", OpenVolts / amps);
            if (!session.OperatingPoint())
            {
                return null;
            }
            var volts = session.Value(node);
            if (volts > MostVolts)
            {
                break;
            }
            ohms = volts / (amps * (1 - volts / OpenVolts));
            if (volts >= LeastVolts)
            {
                break;
            }
        }
        session.Alter($"itest{i}", 0);
        session.Alter($"rtest{i}", Disconnected);
        return ohms;
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
