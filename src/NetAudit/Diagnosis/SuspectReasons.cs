using System.Collections.Immutable;

namespace NetAudit.Diagnosis;

/// <summary>Why a suspect is one, in words. Thread-safe.</summary>
public static class SuspectReasons
{
    /// <summary>A reading further than this from the healthy unit asks for an explanation, in standard deviations.</summary>
    private const double AsksForExplanation = 1.96;

    /// <summary>A reading further than this from the suspect's prediction is left unexplained by it, in standard deviations.</summary>
    private const double LeftUnexplained = 3;

    /// <summary>Readings named in one sentence.</summary>
    private const int MostNamed = 3;

    /// <summary>Up to three sentences: what it explains, what it leaves unexplained, what it takes for slips.</summary>
    public static ImmutableArray<string> Sentences(DiagnosisResult result, Suspect suspect)
    {
        var states = result.Readings;
        double Misfit(int i) => states[i].DistanceTo(suspect.Predicted[i]);
        var weighed = Enumerable
            .Range(0, states.Length)
            .Where(i => !suspect.Slips.Contains(i))
            .ToArray();
        var explained = weighed
            .Where(i => Math.Abs(states[i].Deviation) > AsksForExplanation)
            .Where(i => Misfit(i) < Math.Abs(states[i].Deviation) / 2)
            .OrderByDescending(i => Math.Abs(states[i].Deviation) - Misfit(i))
            .ToArray();
        var left = weighed
            .Where(i => Misfit(i) > LeftUnexplained)
            .OrderByDescending(Misfit)
            .ToArray();
        return
        [
            .. Sentence("Predicts", explained, i => Explained(states[i], suspect.Predicted[i])),
            .. Sentence(
                "Does not explain: predicts",
                left,
                i => Unexplained(states[i], suspect.Predicted[i])
            ),
            .. Sentence(
                "Takes for a slip of the meter or the pen:",
                suspect.Slips,
                i => states[i].Place()
            ),
        ];
    }

    private static IEnumerable<string> Sentence(
        string opening,
        IReadOnlyList<int> readings,
        Func<int, string> name
    )
    {
        if (readings.Count == 0)
        {
            yield break;
        }
        var named = string.Join("; ", readings.Take(MostNamed).Select(name));
        var more = readings.Count > MostNamed ? $"; and {readings.Count - MostNamed} more" : "";
        yield return $"{opening} {named}{more}.";
    }

    private static string Explained(ReadingState state, double predicted) =>
        $"{Unexplained(state, predicted)} (healthy {state.Bare(state.Expected)})";

    private static string Unexplained(ReadingState state, double predicted) =>
        state.Reading.IsMeasured
            ? $"{state.Place()} {state.Shown(predicted)} where {state.Bare(state.Reading.Value)} was read"
            : $"{state.Place()} {state.Shown(predicted)} where {state.Measured()} was noted";
}
