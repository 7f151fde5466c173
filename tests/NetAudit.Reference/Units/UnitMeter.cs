using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.Ngspice;

namespace NetAudit.Reference.Units;

/// <summary>Puts a meter to one point of a unit after another; ngspice says what stands there with the meter connected.</summary>
public sealed class UnitMeter
{
    // Far above any leakage, so that a meter not in use does nothing.
    private const double Disconnected = 1e15;

    private readonly Amplifier amplifier;

    public UnitMeter(Amplifier amplifier)
    {
        this.amplifier = amplifier;
        Nodes =
        [
            .. amplifier
                .Points.Select(point => point.Node)
                .Where(node => node > 0)
                .Distinct()
                .Order(),
        ];
    }

    /// <summary>Every node a probe can reach, chassis apart.</summary>
    public ImmutableArray<int> Nodes { get; }

    /// <summary>Volts at every one of <see cref="Nodes"/>, each with the meter there; null when ngspice finds no operating point.</summary>
    public double[]? Measure(IEnumerable<CircuitEdit> unit)
    {
        var lines = FlatNetlist.Write(amplifier.Circuit, unit, Nodes.Select(node => (node, 0)));
        return NgspiceSession.Use(session =>
        {
            session.Load(lines);
            var volts = new double[Nodes.Length];
            for (var i = 0; i < volts.Length; i++)
            {
                session.Alter($"rmeter{i}", amplifier.Sheet.Meter.InputResistance);
                if (!session.OperatingPoint())
                {
                    return null;
                }
                volts[i] = session.Value(FlatNetlist.Node(Nodes[i]));
                session.Alter($"rmeter{i}", Disconnected);
            }
            return volts;
        });
    }

    /// <summary>Volts at every one of <see cref="Nodes"/> with no meter anywhere; null when ngspice finds no operating point.</summary>
    public double[]? Undisturbed(IEnumerable<CircuitEdit> unit)
    {
        var lines = FlatNetlist.Write(amplifier.Circuit, unit);
        return NgspiceSession.Use(session =>
        {
            session.Load(lines);
            return session.OperatingPoint()
                ? Nodes.Select(node => session.Value(FlatNetlist.Node(node))).ToArray()
                : null;
        });
    }

    /// <summary>What the display says: one gain error for all readings, each off by up to its counts, rounded to its last digit.</summary>
    public double[] Display(double[] volts, Random random)
    {
        var accuracy = amplifier.Sheet.Meter.Dc;
        var gain = 1 + accuracy.OfReading * random.Between(-1, 1);
        return [.. volts.Select(v => Shown(accuracy, v * gain, random))];
    }

    /// <summary>What the display says of a value: off by up to its counts, rounded to its last digit.</summary>
    internal static double Shown(MeterAccuracy accuracy, double value, Random random)
    {
        if (double.IsInfinity(value))
        {
            return value;
        }
        var size = accuracy.CountSize(value);
        var off = value + accuracy.Counts * size * random.Between(-1, 1);
        return Math.Round(off / size) * size;
    }
}
