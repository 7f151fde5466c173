using System.Collections.Immutable;
using MathNet.Numerics;
using NetAudit.Circuits;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>Turns ranked sets into the answer: names, stages, verdict.</summary>
internal sealed class ResultWriter(Amplifier amplifier, DiagnosisOptions options)
{
    /// <summary>Below this probability of reading so far off, a suspect does not explain the readings.</summary>
    private const double LeastConsistency = 1e-5;

    public DiagnosisResult Write(
        SuspectRanking ranking,
        ImmutableArray<ReadingState> states,
        ImmutableArray<NextReading> next,
        ImmutableArray<string> notes
    )
    {
        var suspects = ranking.Sets.Select(s => ToSuspect(s, states)).ToImmutableArray();
        var slips =
            ranking.Healthy >= 0.5 || suspects.IsEmpty
                ? ranking.HealthyEvaluation.Slips
                : suspects[0].Slips;
        return new()
        {
            Verdict = VerdictOf(ranking, suspects, states.Length),
            Healthy = ranking.Healthy,
            Suspects =
            [
                .. suspects
                    .Where(s => s.Probability >= options.LeastProbability)
                    .Take(options.MostSuspects),
            ],
            Stages = [.. amplifier.Stages.Select(stage => ToState(stage, suspects, states))],
            Readings =
            [
                .. states.Select((state, i) => state with { Questionable = slips.Contains(i) }),
            ],
            Next = next,
            Notes = notes,
        };
    }

    private static Verdict VerdictOf(
        SuspectRanking ranking,
        ImmutableArray<Suspect> suspects,
        int readings
    )
    {
        if (ranking.Healthy >= 0.5 || suspects.IsEmpty)
        {
            return Consistency(ranking.HealthyEvaluation, readings) >= LeastConsistency
                ? Verdict.WithinLimits
                : Verdict.Unexplained;
        }
        return suspects[0].Consistency >= LeastConsistency ? Verdict.Fault : Verdict.Unexplained;
    }

    private Suspect ToSuspect(RankedSet ranked, ImmutableArray<ReadingState> states)
    {
        var (faults, equivalents) = SuspectNames.Of(ranked);
        return new(
            ranked.Probability,
            amplifier.StageOf(faults[0].Part)?.Name ?? "",
            faults,
            equivalents,
            Consistency(ranked.Leading, states.Length),
            [
                .. ranked.Leading.Predicted.Select(
                    (place, i) => RowScale.Value(states[i].Row, place)
                ),
            ],
            ranked.Leading.Slips
        );
    }

    /// <summary>Upper tail of chi-square with as many degrees of freedom as readings less free values and slips.</summary>
    private static double Consistency(Evaluation evaluation, int readings)
    {
        var free =
            evaluation.Set.Members.Count(m => m.Range.IsContinuous) + evaluation.Slips.Length;
        var freedom = Math.Max(1, readings - free);
        return SpecialFunctions.GammaUpperRegularized(
            freedom / 2.0,
            Math.Max(0, evaluation.Quadratic) / 2
        );
    }

    private StageState ToState(
        Stage stage,
        ImmutableArray<Suspect> suspects,
        ImmutableArray<ReadingState> states
    )
    {
        var deviation = states
            .Where(s => stage.Nodes.Contains(s.Reading.Node))
            .Select(s => Math.Abs(s.GivenOthers))
            .DefaultIfEmpty(0)
            .Max();
        var probability = suspects
            .Where(s => s.Faults.Any(f => amplifier.StageOf(f.Part) == stage))
            .Sum(s => s.Probability);
        return new(stage.Name, deviation, Math.Min(1, probability));
    }
}
