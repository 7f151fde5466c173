using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Practice;

/// <summary>Makes units with hidden faults, to practise on. The same amplifier and seed give the same unit everywhere. Not thread-safe.</summary>
public sealed class PracticeBench
{
    /// <summary>Most faults hidden at once.</summary>
    public const int MostFaults = 3;

    /// <summary>A suspect as probable as this is taken for found.</summary>
    private const double Found = 0.9;

    /// <summary>More readings than this nobody takes.</summary>
    private const int MostReadings = 25;

    private readonly SimulatedBench _bench;

    private PracticeBench(SimulatedBench bench) => _bench = bench;

    /// <summary>The amplifier.</summary>
    public Amplifier Amplifier => _bench.Amplifier;

    /// <summary>Prepares an amplifier, or says why nothing can be hidden in it.</summary>
    public static (PracticeBench? Bench, Diagnostic? Problem) Prepare(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    )
    {
        var (bench, problem) = SimulatedBench.Prepare(amplifier, cancellationToken);
        return (bench is null ? null : new(bench), problem);
    }

    /// <summary>Hides faults in a unit, each as often as the catalogue has it, and visible to a voltmeter.</summary>
    /// <param name="faults">How many, 1 to <see cref="MostFaults"/>.</param>
    /// <param name="seed">Which unit.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public PracticeUnit Hide(int faults, int seed, CancellationToken cancellationToken = default)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(faults, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(faults, MostFaults);
        var random = new Random(seed);
        var unit = _bench.Draw(faults, random, cancellationToken);
        return new(unit, _bench.Complaint(unit, random));
    }

    /// <summary>
    /// How many readings the program itself takes to name the faults: each time the one it proposes first, until a suspect has nine parts
    /// in ten. Null when it does not get there.
    /// </summary>
    public int? OwnReadings(PracticeUnit unit, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(unit);
        var taken = new List<Reading>();
        while (taken.Count < MostReadings)
        {
            var answer = Answer(taken, unit, cancellationToken);
            if (answer.Suspects is [{ Probability: >= Found } first, ..] && unit.Has(first))
            {
                return taken.Count;
            }
            var next = answer
                .Next.Select(next => Read(next, unit))
                .FirstOrDefault(reading => reading is not null);
            if (next is null)
            {
                return null;
            }
            taken.Add(next);
        }
        return null;
    }

    /// <summary>What the program makes of the complaint and some readings.</summary>
    public DiagnosisResult Answer(
        IReadOnlyList<Reading> readings,
        PracticeUnit unit,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(unit);
        return _bench.Diagnoser.Diagnose(
            readings,
            new() { Complaint = unit.Complaint, WithNext = true },
            cancellationToken
        );
    }

    private Reading? Read(NextReading next, PracticeUnit unit)
    {
        var (before, after) = next.Typed;
        var value = next.Kind <= ReadingKind.Ohms ? "1" : "normal";
        var typed = TypedReading.Read(before + value + after, Amplifier);
        return typed.Readings is [var reading] ? unit.Take(reading) : null;
    }
}
