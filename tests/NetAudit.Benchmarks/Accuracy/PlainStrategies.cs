using NetAudit.Circuits;
using NetAudit.Reference.Units;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>Two plain ways to find a fault, for comparison. Both know how far healthy readings spread.</summary>
internal sealed class PlainStrategies
{
    private const int DrawsPerKind = 4;
    private const double HealthyLimit = 3;

    private readonly Amplifier amplifier;
    private readonly UnitGenerator generator;
    private readonly List<(UnitFault Fault, double[] Volts)> dictionary = [];

    public PlainStrategies(Amplifier amplifier, UnitGenerator generator, int seed)
    {
        this.amplifier = amplifier;
        this.generator = generator;
        var random = new Random(seed);
        for (var i = 0; i < DrawsPerKind; i++)
        {
            foreach (var fault in generator.Faults.DrawEach(random))
            {
                if (generator.NominalVolts(fault) is { } volts)
                {
                    dictionary.Add((fault, volts));
                }
            }
        }
    }

    /// <summary>Entries of the dictionary.</summary>
    public int Entries => dictionary.Count;

    /// <summary>
    /// The reading that deviates most, in standard deviations, and of the parts at its node the one whose other nodes deviate least:
    /// there the disagreement starts. Null when nothing deviates by three.
    /// </summary>
    public string? LargestDeviation(Unit unit)
    {
        var deviations = Deviations(unit);
        var node = unit.Nodes.MaxBy(n => deviations[n]);
        if (deviations[node] <= HealthyLimit)
        {
            return null;
        }
        return amplifier
            .Parts.Where(part =>
                part.Class != PartClass.Fixture && part.Pins.Any(pin => pin.Node == node)
            )
            .MinBy(part =>
                part.Pins.Where(pin => pin.Node > 0 && pin.Node != node)
                    .Sum(pin => deviations.GetValueOrDefault(pin.Node))
            )
            ?.Name;
    }

    /// <summary>
    /// The dictionary's nearest entry, readings weighed by their spread; null when nothing deviates by three or a healthy unit is nearer
    /// still.
    /// </summary>
    public UnitFault? Nearest(Unit unit)
    {
        if (Deviations(unit).Values.Max() <= HealthyLimit)
        {
            return null;
        }
        var best = Distance(unit, generator.Undisturbed);
        UnitFault? nearest = null;
        foreach (var (fault, readings) in dictionary)
        {
            var distance = Distance(unit, readings);
            if (distance < best)
            {
                (best, nearest) = (distance, fault);
            }
        }
        return nearest;
    }

    private Dictionary<int, double> Deviations(Unit unit)
    {
        var found = new Dictionary<int, double>();
        for (var i = 0; i < unit.Nodes.Length; i++)
        {
            found[unit.Nodes[i]] =
                Math.Abs(unit.Displayed[i] - generator.Nominal[i]) / generator.Sigma[i];
        }
        return found;
    }

    private double Distance(Unit unit, IReadOnlyList<double> readings)
    {
        var sum = 0.0;
        for (var i = 0; i < readings.Count; i++)
        {
            sum += Math.Pow((unit.Displayed[i] - readings[i]) / generator.Sigma[i], 2);
        }
        return sum;
    }
}
