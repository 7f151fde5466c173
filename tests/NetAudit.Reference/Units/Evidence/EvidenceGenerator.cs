using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Reference.Units.Faults;

namespace NetAudit.Reference.Units.Evidence;

/// <summary>
/// Makes units with faults that volts DC, levels or resistances show, and reads them in several conditions. Every fault moves some
/// reading by three standard deviations of what a meter shows of healthy units: of a nominal unit, alone as well as beside the other
/// faults, and of the unit itself beside the other faults.
/// </summary>
public sealed class EvidenceGenerator
{
    private const double VisibleSigmas = 3;

    /// <summary>Below these every model is wrong: volts DC; ratios of levels and of resistances.</summary>
    private const double LeastVolts = 1e-3;
    private const double LeastRatio = 0.02;

    /// <summary>Volts RMS of noise, and ohms of leads, below which a ratio means nothing.</summary>
    private const double NoiseVolts = 2e-3;
    private const double LeadOhms = 0.3;
    private const double MostOhms = 40e6;

    private readonly Amplifier amplifier;
    private readonly BenchMeter meter;
    private readonly HealthySpread spread;
    private readonly FaultList faults;
    private readonly string evidence;
    private readonly ImmutableArray<int> nodes;
    private readonly ImmutableArray<BenchRound> planned;
    private readonly double[] levels;
    private readonly PlannedReadings healthy;
    private readonly double[] nominal;
    private readonly double[] sigma;

    /// <param name="amplifier">The amplifier.</param>
    /// <param name="evidence"><c>dc</c>, <c>ac</c>, <c>ohms</c> or <c>all</c>.</param>
    /// <param name="seed">Seed of the healthy units that say how far readings spread.</param>
    /// <param name="healthyUnits">How many of them.</param>
    public EvidenceGenerator(Amplifier amplifier, string evidence, int seed, int healthyUnits = 30)
    {
        this.amplifier = amplifier;
        this.evidence = evidence;
        meter = new BenchMeter(amplifier);
        spread = new HealthySpread(amplifier);
        faults = FaultList.Of(amplifier, withSignalFaults: true);
        nodes = new UnitMeter(amplifier).Nodes;
        levels = amplifier.Sheet.Signal is null
            ? []
            : meter.Levels(new BenchConditions(amplifier).Normal, Nominal([]), nodes)
                ?? throw Dead();
        // Faults must show in what is always read; swapped tubes and the like come on top.
        planned =
        [
            .. BenchPlan
                .Of(amplifier, nodes, evidence, levels, new Random(seed))
                .Where(r => r.Condition.Text is "" or "off"),
        ];
        healthy = new(Nominal([]), this);
        nominal =
        [
            .. Enumerable
                .Range(0, planned.Length)
                .SelectMany(round => healthy.In(round) ?? throw Dead()),
        ];
        sigma = Spread(new Random(seed), healthyUnits);
    }

    /// <summary>Draws that ngspice found no operating point for, and that were dropped.</summary>
    public int Dropped { get; private set; }

    /// <summary>A unit with that many faults, 0 for a healthy one, and everything read of it.</summary>
    public (Unit Unit, ImmutableArray<UnitReading> Readings) Make(int count, Random random)
    {
        while (true)
        {
            ImmutableArray<UnitFault> chosen = [.. Choose(count, random)];
            var rounds = BenchPlan.Of(amplifier, nodes, evidence, levels, random);
            var unit = Bench(chosen, random);
            // The unit's tolerances may hide what shows in a nominal one.
            var read = new PlannedReadings(unit, this);
            if (!chosen.All(fault => Differ(Without(unit, fault), read)))
            {
                continue;
            }
            if (Read(unit, rounds, scaled: false) is not { } values)
            {
                Dropped++;
                continue;
            }
            var readings = Display(rounds, values, random);
            ImmutableArray<double> volts = [.. readings.Take(nodes.Length).Select(r => r.Shown)];
            return (new(chosen, [.. unit.Edits], nodes, volts), readings);
        }
    }

    private BenchUnit Bench(ImmutableArray<UnitFault> chosen, Random random) =>
        new([.. spread.Draw(random)], chosen, [.. spread.Draw(random)]);

    private List<UnitFault> Choose(int count, Random random)
    {
        while (true)
        {
            var chosen = new List<UnitFault>();
            var alone = new List<PlannedReadings>();
            while (chosen.Count < count)
            {
                var fault = faults.Draw(random);
                var unit = new PlannedReadings(Nominal([fault]), this);
                if (chosen.All(other => PartOf(other) != PartOf(fault)) && Differ(healthy, unit))
                {
                    chosen.Add(fault);
                    alone.Add(unit);
                }
            }
            var together = new PlannedReadings(Nominal(chosen), this);
            if (count < 2 || chosen.All(fault => Differ(Others(chosen, alone, fault), together)))
            {
                return chosen;
            }
        }
    }

    private PlannedReadings Others(
        List<UnitFault> chosen,
        List<PlannedReadings> alone,
        UnitFault fault
    ) =>
        chosen.Count == 2
            ? alone[1 - chosen.IndexOf(fault)]
            : new(Nominal(chosen.Where(other => other != fault)), this);

    private PlannedReadings Without(BenchUnit unit, UnitFault fault) =>
        new(unit with { Faults = unit.Faults.Remove(fault) }, this);

    private static InvalidOperationException Dead() =>
        new("ngspice finds no operating point of the healthy circuit");

    private string PartOf(UnitFault fault) =>
        amplifier.Parts.FirstOrDefault(p => p.Sections.Any(s => s.Instance == fault.Part))?.Name
        ?? fault.Part;

    private static BenchUnit Nominal(IEnumerable<UnitFault> chosen) => new([], [.. chosen], []);

    /// <summary>
    /// Whether two units differ by three standard deviations in some reading; a kind of reading that takes long is only taken when the
    /// others do not tell.
    /// </summary>
    private bool Differ(PlannedReadings first, PlannedReadings second)
    {
        var at = 0;
        for (var round = 0; round < planned.Length; round++)
        {
            if (first.In(round) is not { } before || second.In(round) is not { } now)
            {
                Dropped++;
                return false;
            }
            for (var i = 0; i < now.Length; i++)
            {
                if (Math.Abs(now[i] - before[i]) > VisibleSigmas * sigma[at + i])
                {
                    return true;
                }
            }
            at += now.Length;
        }
        return false;
    }

    /// <summary>What is always read of a unit; each round when first asked for.</summary>
    private sealed class PlannedReadings(BenchUnit unit, EvidenceGenerator generator)
    {
        private readonly double[]?[] read = new double[]?[generator.planned.Length];
        private readonly bool[] isRead = new bool[generator.planned.Length];

        public double[]? In(int round)
        {
            if (!isRead[round])
            {
                read[round] = generator.Read(unit, [generator.planned[round]]);
                isRead[round] = true;
            }
            return read[round];
        }
    }

    private double[] Spread(Random random, int units)
    {
        var sum = new double[nominal.Length];
        var counted = 0;
        for (var i = 0; i < units; i++)
        {
            if (Read(Bench([], random), planned, scaled: false) is not { } values)
            {
                continue;
            }
            counted++;
            // What a meter cannot tell does not show: its errors count too.
            var readings = Display(planned, values, random);
            for (var k = 0; k < sum.Length; k++)
            {
                sum[k] += Math.Pow(Scaled(readings[k].Kind, readings[k].Shown) - nominal[k], 2);
            }
        }
        var least = planned.SelectMany(r =>
            Enumerable.Repeat(r.Kind == "dc" ? LeastVolts : LeastRatio, r.Nodes.Length)
        );
        return [.. sum.Select(s => Math.Sqrt(s / counted)).Zip(least, Math.Max)];
    }

    private double[]? Read(BenchUnit unit, ImmutableArray<BenchRound> rounds, bool scaled = true)
    {
        var all = new List<double>();
        foreach (var (kind, condition, at) in rounds)
        {
            var values = kind switch
            {
                "ac" => meter.Levels(condition, unit, at),
                "ohms" => BenchMeter.Ohms(condition, unit, at),
                _ => meter.Volts(condition, unit, at),
            };
            if (values is null)
            {
                return null;
            }
            all.AddRange(scaled ? values.Select(v => Scaled(kind, v)) : values);
        }
        return [.. all];
    }

    /// <summary>Levels and resistances are compared by ratio.</summary>
    private static double Scaled(string kind, double value) =>
        kind switch
        {
            "ac" => Math.Log(value + NoiseVolts),
            "ohms" => Math.Log(Math.Min(value, MostOhms) + LeadOhms),
            _ => value,
        };

    private ImmutableArray<UnitReading> Display(
        ImmutableArray<BenchRound> rounds,
        double[] values,
        Random random
    )
    {
        var sheet = amplifier.Sheet.Meter;
        var gains = new Dictionary<string, double>();
        var readings = ImmutableArray.CreateBuilder<UnitReading>(values.Length);
        var next = 0;
        foreach (var (kind, condition, at) in rounds)
        {
            var accuracy = kind switch
            {
                "ac" => sheet.Ac,
                "ohms" => sheet.Ohms,
                _ => sheet.Dc,
            };
            if (!gains.TryGetValue(kind, out var gain))
            {
                gain = 1 + accuracy.OfReading * random.Between(-1, 1);
                gains.Add(kind, gain);
            }
            foreach (var node in at)
            {
                var shown = UnitMeter.Shown(accuracy, values[next++] * gain, random);
                readings.Add(
                    new(kind, node, condition.Text, kind == "dc" ? shown : Math.Abs(shown))
                );
            }
        }
        return readings.MoveToImmutable();
    }
}
