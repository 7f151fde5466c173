using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Reference.Units;
using NetAudit.Reference.Units.Evidence;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>Generated units of one circuit, judged one after another.</summary>
internal sealed class AccuracyRun
{
    private readonly Amplifier amplifier;
    private readonly UnitGenerator generator;
    private readonly EvidenceGenerator? evidenceGenerator;
    private readonly PlainStrategies plain;
    private readonly Diagnoser diagnoser;
    private readonly TruthMatch match;
    private readonly DiagnosisOptions options = new();

    /// <param name="amplifier">The amplifier.</param>
    /// <param name="seed">Seed.</param>
    /// <param name="evidence"><c>dc</c>; or <c>ac</c>, <c>ohms</c>, <c>all</c> for faults and readings beyond volts DC.</param>
    public AccuracyRun(Amplifier amplifier, int seed, string evidence)
    {
        this.amplifier = amplifier;
        generator = new UnitGenerator(amplifier, seed, healthyUnits: 200);
        evidenceGenerator =
            evidence == "dc" ? null : new EvidenceGenerator(amplifier, evidence, seed);
        plain = new PlainStrategies(amplifier, generator, seed);
        var (prepared, problem) = Diagnoser.Prepare(amplifier);
        diagnoser = prepared ?? throw new InvalidOperationException(problem?.Message);
        match = new TruthMatch(amplifier);
    }

    /// <summary>Draws for which ngspice found no operating point.</summary>
    public int Dropped => generator.Dropped + (evidenceGenerator?.Dropped ?? 0);

    /// <summary>Makes and judges one unit.</summary>
    public Score Judge(int faults, Random random)
    {
        var (unit, csv) = Make(faults, random);
        var read = ReadingsFile.ReadText(csv, "unit.csv", amplifier);
        // Processor time: what else the machine does must not count.
        var start = Environment.CpuUsage.TotalTime;
        var result = diagnoser.Diagnose(read.Readings, options);
        var seconds = (Environment.CpuUsage.TotalTime - start).TotalSeconds;
        var score = faults == 0 ? Healthy(result, unit, seconds) : Faulty(result, unit, seconds);
        return score with { Readings = csv };
    }

    private (Unit Unit, string Csv) Make(int faults, Random random)
    {
        if (evidenceGenerator?.Make(faults, random) is var (evident, readings))
        {
            return (evident, UnitReadings.Csv(amplifier, readings));
        }
        var unit = faults == 0 ? generator.Healthy(random) : generator.Faulty(faults, random);
        return (unit, UnitReadings.Csv(amplifier, unit));
    }

    private Score Healthy(DiagnosisResult result, Unit unit, double seconds)
    {
        var quiet = result.Verdict == Verdict.WithinLimits;
        return new(
            0,
            quiet,
            quiet,
            quiet,
            0,
            result.Suspects is [var first, ..] ? first.Probability : 0,
            seconds,
            quiet ? null : MissReason.Of(result),
            plain.LargestDeviation(unit) is null,
            plain.Nearest(unit) is null
        );
    }

    private Score Faulty(DiagnosisResult result, Unit unit, double seconds)
    {
        var first = result.Suspects is [var leading, ..] ? leading : null;
        var right = first is not null && match.ByPart(first, unit);
        var truth = match.Truth(unit).ToArray();
        return new(
            unit.Faults.Length,
            right,
            result.Suspects.Take(3).Any(s => match.ByPart(s, unit)),
            first is not null && match.Strictly(first, unit),
            first?.Equivalents.Length ?? 0,
            first?.Probability ?? 0,
            seconds,
            right ? null : MissReason.Of(result, unit, match, generator),
            plain.LargestDeviation(unit) is { } part && truth.SequenceEqual([match.PartOf(part)]),
            plain.Nearest(unit) is { } fault && truth.SequenceEqual([match.PartOf(fault.Part)])
        );
    }
}
