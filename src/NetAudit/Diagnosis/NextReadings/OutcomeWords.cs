using System.Collections.Immutable;
using NetAudit.Diagnosis.Observations;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>What the outcomes of one reading would mean, in words.</summary>
/// <param name="candidate">The reading.</param>
/// <param name="suspects">The suspects.</param>
/// <param name="means">What each predicts.</param>
/// <param name="sigmas">How sure each is.</param>
internal sealed class OutcomeWords(
    ReadingCandidate candidate,
    OutcomeWords.Suspect[] suspects,
    double[] means,
    double[] sigmas
)
{
    /// <summary>Predictions this many standard deviations apart are told apart by the reading.</summary>
    private const double Apart = 3;

    private const int MostOutcomes = 3;
    private const int MostNamed = 2;

    /// <summary>A suspect in words.</summary>
    internal readonly record struct Suspect(string Words, double Probability);

    /// <summary>Which two suspects it splits: the most probable pair that it tells apart.</summary>
    public string Why()
    {
        var best = (First: -1, Second: -1, Weight: 0.0);
        for (var a = 0; a < suspects.Length; a++)
        {
            for (var b = 0; b < suspects.Length; b++)
            {
                var weight = suspects[a].Probability * suspects[b].Probability;
                var sigma = Math.Max(sigmas[a], sigmas[b]);
                if (
                    suspects[a].Probability >= suspects[b].Probability
                    && Math.Abs(means[a] - means[b]) > Apart * sigma
                    && weight > best.Weight
                )
                {
                    best = (a, b, weight);
                }
            }
        }
        return best.First < 0
            ? "narrows the values of the suspects"
            : $"splits {suspects[best.First].Words} from {suspects[best.Second].Words}";
    }

    /// <summary>What would be read, and what that would mean: most probable first.</summary>
    public ImmutableArray<string> Outcomes()
    {
        var order = Enumerable.Range(0, suspects.Length).OrderBy(i => means[i]).ToArray();
        var groups = new List<List<int>>();
        foreach (var i in order)
        {
            if (
                groups.Count > 0
                && means[i] - means[groups[^1][^1]]
                    < Apart * Math.Max(sigmas[i], sigmas[groups[^1][^1]])
            )
            {
                groups[^1].Add(i);
            }
            else
            {
                groups.Add([i]);
            }
        }
        return
        [
            .. groups
                .OrderByDescending(group => group.Sum(i => suspects[i].Probability))
                .Take(MostOutcomes)
                .Select(Describe),
        ];
    }

    private string Describe(List<int> group)
    {
        var leading = group.OrderByDescending(i => suspects[i].Probability).ToArray();
        var words = string.Join(" or ", leading.Take(MostNamed).Select(i => suspects[i].Words));
        var others = leading.Length > MostNamed ? $" or {leading.Length - MostNamed} more" : "";
        return $"{Shown(means[leading[0]])}: {words}{others}";
    }

    private string Shown(double place)
    {
        var value = RowScale.Value(candidate.Row, place);
        if (candidate.Kind == ReadingKind.Listen)
        {
            return HeardLevels.WordOf(value, candidate.Row.LevelFloor);
        }
        return ReadingWords.Value(candidate.Kind, value);
    }
}
