using NetAudit.Circuits;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.Units.Faults;

namespace NetAudit.Reference.Units;

/// <summary>
/// Makes healthy and faulty units of an amplifier from a seed. Every fault moves some reading by three standard deviations of what
/// healthy units show, so that there is something to find: of a nominal unit, alone as well as beside the other faults, and of the unit
/// itself beside the other faults.
/// </summary>
public sealed class UnitGenerator
{
    private const double VisibleSigmas = 3;

    // Below a millivolt every model is wrong: no spread counts as smaller.
    private const double LeastSigma = 1e-3;

    private readonly Amplifier amplifier;
    private readonly UnitMeter meter;
    private readonly HealthySpread spread;
    private readonly FaultList faults;
    private readonly double[] nominal;
    private readonly double[] undisturbed;
    private readonly double[] sigma;

    /// <param name="amplifier">The amplifier.</param>
    /// <param name="seed">Seed of the healthy units that say how far readings spread.</param>
    /// <param name="healthyUnits">How many of them.</param>
    public UnitGenerator(Amplifier amplifier, int seed = 1, int healthyUnits = 60)
    {
        this.amplifier = amplifier;
        meter = new UnitMeter(amplifier);
        spread = new HealthySpread(amplifier);
        faults = FaultList.Of(amplifier);
        nominal =
            meter.Measure([])
            ?? throw new InvalidOperationException(
                "ngspice finds no operating point of the healthy circuit"
            );
        undisturbed = meter.Undisturbed([])!;
        sigma = Spread(new Random(seed), healthyUnits);
    }

    /// <summary>Draws that ngspice found no operating point for, and that were dropped.</summary>
    public int Dropped { get; private set; }

    /// <summary>The kinds of fault units are given.</summary>
    public FaultList Faults => faults;

    /// <summary>What a meter shows on a nominal healthy unit, without its own errors.</summary>
    public IReadOnlyList<double> Nominal => nominal;

    /// <summary>One standard deviation of each reading among healthy units, the meter's errors included.</summary>
    public IReadOnlyList<double> Sigma => sigma;

    /// <summary>Nodes that are read.</summary>
    public IReadOnlyList<int> Nodes => meter.Nodes;

    /// <summary>Volts of a nominal healthy unit with no meter connected.</summary>
    public IReadOnlyList<double> Undisturbed => undisturbed;

    /// <summary>Volts of a nominal unit with one fault and no meter connected; null when ngspice finds no operating point.</summary>
    public double[]? NominalVolts(UnitFault fault) => meter.Undisturbed(fault.Edits);

    /// <summary>A healthy unit.</summary>
    public Unit Healthy(Random random) => Make([], random);

    /// <summary>A unit with that many faults, in different parts, none of them hidden behind the others.</summary>
    public Unit Faulty(int count, Random random)
    {
        while (true)
        {
            var chosen = new List<UnitFault>();
            while (chosen.Count < count)
            {
                var fault = faults.Draw(random);
                if (chosen.All(other => AreApart(other, fault)) && Moves(nominal, [fault]))
                {
                    chosen.Add(fault);
                }
            }
            if (count > 1 && !chosen.All(fault => IsVisibleBeside(fault, chosen)))
            {
                continue;
            }
            // The unit's tolerances may hide what shows in a nominal one.
            var unit = Make(chosen, random);
            double[] influences = [.. chosen.Select(fault => Influence(unit, fault))];
            if (influences.All(influence => influence > VisibleSigmas))
            {
                return unit;
            }
            Dropped += influences.Any(double.IsNaN) ? 1 : 0;
        }
    }

    /// <summary>A unit with those faults.</summary>
    public Unit Make(IReadOnlyList<UnitFault> chosen, Random random)
    {
        while (true)
        {
            CircuitEdit[] edits =
            [
                .. spread.Draw(random),
                .. chosen.SelectMany(fault => fault.Edits),
            ];
            if (meter.Measure(edits) is { } volts)
            {
                return new([.. chosen], [.. edits], meter.Nodes, [.. meter.Display(volts, random)]);
            }
            Dropped++;
        }
    }

    /// <summary>
    /// How far one of a unit's faults moves its readings in that unit, beside its other faults: the largest change in standard
    /// deviations; NaN when ngspice finds no operating point without it.
    /// </summary>
    public double Influence(Unit unit, UnitFault fault)
    {
        var without = unit.Edits.Where(edit => !fault.Edits.Any(own => ReferenceEquals(own, edit)));
        if (meter.Measure(unit.Edits) is not { } all || meter.Measure(without) is not { } rest)
        {
            return double.NaN;
        }
        return all.Zip(rest, (a, b) => Math.Abs(a - b))
            .Zip(sigma, (change, one) => change / one)
            .Max();
    }

    private bool AreApart(UnitFault a, UnitFault b) => PartOf(a) != PartOf(b);

    private string PartOf(UnitFault fault) =>
        amplifier
            .Parts.FirstOrDefault(part => part.Sections.Any(s => s.Instance == fault.Part))
            ?.Name
        ?? fault.Part;

    private bool IsVisibleBeside(UnitFault fault, List<UnitFault> chosen) =>
        Readings(chosen.Where(other => other != fault)) is { } others && Moves(others, chosen);

    /// <summary>Whether those faults take some reading of a nominal unit three standard deviations away from the given readings.</summary>
    private bool Moves(double[] from, IEnumerable<UnitFault> chosen)
    {
        if (Readings(chosen) is not { } volts)
        {
            Dropped++;
            return false;
        }
        return volts
            .Zip(from, (now, before) => Math.Abs(now - before))
            .Zip(sigma)
            .Any(pair => pair.First > VisibleSigmas * pair.Second);
    }

    // With the meter's load: it can hide a fault that the bare circuit would show.
    private double[]? Readings(IEnumerable<UnitFault> chosen) =>
        meter.Measure(chosen.SelectMany(fault => fault.Edits));

    private double[] Spread(Random random, int units)
    {
        var sum = new double[nominal.Length];
        for (var unit = 0; unit < units; unit++)
        {
            var displayed = Healthy(random).Displayed;
            for (var i = 0; i < sum.Length; i++)
            {
                sum[i] += Math.Pow(displayed[i] - nominal[i], 2);
            }
        }
        return [.. sum.Select(s => Math.Max(Math.Sqrt(s / units), LeastSigma))];
    }
}
