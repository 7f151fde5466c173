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
    /// <param name="Words">What it is.</param>
    /// <param name="Probability">Its probability.</param>
    /// <param name="Further">The part of it that has not shown in any reading, or null.</param>
    internal readonly record struct Suspect(string Words, double Probability, string? Further);

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
        if (best.First < 0)
        {
            return "narrows the values of the suspects";
        }
        var (likelier, other) = (suspects[best.First], suspects[best.Second]);
        return other.Further is { } further && likelier.Further is null
            ? $"would show {further}, which no reading has shown or ruled out"
            : $"splits {likelier.Further ?? likelier.Words} from {other.Further ?? other.Words}";
    }

    /// <summary>What would be read, and what that would mean: most probable first; empty when nothing is told apart.</summary>
    public ImmutableArray<string> Outcomes()
    {
        // Around the most probable suspect, then around the most probable of those that are left.
        var left = Enumerable
            .Range(0, suspects.Length)
            .OrderByDescending(i => suspects[i].Probability)
            .ToList();
        var groups = new List<List<int>>();
        while (left.Count > 0)
        {
            var centre = left[0];
            var group = left.FindAll(i =>
                Math.Abs(means[i] - means[centre]) <= Apart * Math.Max(sigmas[i], sigmas[centre])
            );
            groups.Add(group);
            left.RemoveAll(group.Contains);
        }
        if (groups.Count == 1)
        {
            return [];
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
        var words = string.Join(" or ", group.Take(MostNamed).Select(i => suspects[i].Words));
        var others = group.Count > MostNamed ? $" or {group.Count - MostNamed} more" : "";
        return $"{Shown(means[group[0]])}: {words}{others}";
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
