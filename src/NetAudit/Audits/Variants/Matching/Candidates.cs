namespace NetAudit.Audits.Variants.Matching;

/// <summary>Pairs that something speaks for, with their scores.</summary>
internal sealed class Candidates
{
    private readonly List<int>[] _seconds;
    private readonly List<int>[] _firsts;
    private readonly Dictionary<long, double> _scores = [];

    public Candidates(int firstCount, int secondCount)
    {
        _seconds = new List<int>[firstCount];
        _firsts = new List<int>[secondCount];
    }

    /// <summary>Candidates for a vertex of the first circuit.</summary>
    public IReadOnlyList<int> SecondsOf(int first) => _seconds[first] ?? [];

    /// <summary>Candidates for a vertex of the second circuit.</summary>
    public IReadOnlyList<int> FirstsOf(int second) => _firsts[second] ?? [];

    /// <summary>Score of a candidate pair.</summary>
    public double ScoreOf(int first, int second) => _scores[Key(first, second)];

    /// <summary>Adds a pair; false when it was one already.</summary>
    public bool Add(int first, int second, double score)
    {
        if (!_scores.TryAdd(Key(first, second), score))
        {
            return false;
        }
        (_seconds[first] ??= []).Add(second);
        (_firsts[second] ??= []).Add(first);
        return true;
    }

    /// <summary>Changes the score of a pair.</summary>
    public void Set(int first, int second, double score) => _scores[Key(first, second)] = score;

    /// <summary>The free candidate of highest score, or null.</summary>
    public int? Best(int first, Correspondence known)
    {
        int? best = null;
        var most = double.NegativeInfinity;
        foreach (var second in SecondsOf(first))
        {
            var score = ScoreOf(first, second);
            if (known.FirstOf(second) < 0 && score > most)
            {
                (best, most) = (second, score);
            }
        }
        return best;
    }

    /// <summary>By how much a pair leads the best pair that would exclude it, in nats.</summary>
    /// <param name="first">Vertex.</param>
    /// <param name="second">Vertex.</param>
    /// <param name="known">What is matched already is no rival.</param>
    /// <param name="share">Its probability among the pairs that exclude it.</param>
    public double Lead(int first, int second, Correspondence known, out double share)
    {
        var score = ScoreOf(first, second);
        var rival = double.NegativeInfinity;
        var rivals = 0.0;
        foreach (var other in SecondsOf(first))
        {
            if (other != second && known.FirstOf(other) < 0)
            {
                Consider(ScoreOf(first, other));
            }
        }
        foreach (var other in FirstsOf(second))
        {
            if (other != first && known.SecondOf(other) < 0)
            {
                Consider(ScoreOf(other, second));
            }
        }
        share = 1 / (1 + rivals);
        // A lone weak pair does not come before a strong one among rivals.
        return Math.Min(score, score - rival);

        void Consider(double otherScore)
        {
            rival = Math.Max(rival, otherScore);
            rivals += Math.Exp(otherScore - score);
        }
    }

    private static long Key(int first, int second) => ((long)first << 32) | (uint)second;
}
