namespace NetAudit.Diagnosis.Search;

/// <summary>The end of a search: drops what does not pay for itself and looks around what is left.</summary>
/// <param name="neighbourhood">Finds sets near others.</param>
/// <param name="refiner">Refines sets.</param>
/// <param name="found">Everything refined so far; what is found is added.</param>
internal sealed class Polishing(
    Neighbourhood neighbourhood,
    RobustRefiner refiner,
    List<Evaluation> found
)
{
    private const int Rounds = 3;

    /// <summary>A set this many nats below the best is a rival.</summary>
    private const double Rivalry = 1;

    /// <summary>
    /// The best sets, as far below the best as this, are refined again from other values: levels near a null have hidden signs, and
    /// between two combinations of them lies a ridge; a circuit may have latched.
    /// </summary>
    private const int Restarted = 6;
    private const double RestartedWithin = 12;
    private static readonly double[] Beside = [0.8, 1.25];

    private readonly HashSet<string> _explored = [];
    private readonly HashSet<string> _restarted = [];

    /// <summary>
    /// Looks around the best set, and around its rival when that is nearly as good (else the one explored gains by its neighbours'
    /// number alone), for as long as that finds a better one. What was looked around in an earlier run is not again.
    /// </summary>
    public void Run(int maxFaults)
    {
        Restart();
        for (var round = 0; round < Rounds; round++)
        {
            var best = Pruned();
            Evaluation[] centres =
            [
                .. found
                    .Where(e => e.Converged && e.LogPosterior > best.LogPosterior - Rivalry)
                    .OrderByDescending(e => e.LogPosterior)
                    .DistinctBy(e => e.Set.Key)
                    .Take(2)
                    .Where(e => !e.Set.Members.IsEmpty && _explored.Add(e.Set.Key)),
            ];
            foreach (var centre in centres)
            {
                found.AddRange(neighbourhood.Explore(centre, maxFaults));
            }
            Restart();
            if (Best() == best)
            {
                break;
            }
        }
        Pruned();
    }

    /// <summary>Refines the best sets again from values beside their own.</summary>
    private void Restart()
    {
        var least = Best().LogPosterior - RestartedWithin;
        Evaluation[] leading =
        [
            .. found
                .Where(e => e.Converged && e.LogPosterior > least)
                .OrderByDescending(e => e.LogPosterior)
                .DistinctBy(e => e.Set.Key)
                .Take(Restarted)
                .Where(e => !e.Set.Members.IsEmpty && _restarted.Add(e.Set.Key)),
        ];
        foreach (var evaluation in leading)
        {
            found.Add(refiner.Refine(evaluation.Set, evaluation.Set.Middle));
            var members = evaluation.Set.Members;
            for (var i = 0; i < members.Length; i++)
            {
                var range = members[i].Range;
                foreach (var factor in range.IsContinuous ? Beside : [])
                {
                    var value = Math.Clamp(factor * evaluation.Values[i], range.Low, range.High);
                    var values = evaluation.Values.SetItem(i, value);
                    found.Add(refiner.Refine(evaluation.Set, values.AsSpan()));
                }
            }
        }
    }

    /// <summary>The best set after every member that does not pay for itself is gone.</summary>
    private Evaluation Pruned()
    {
        var best = Best();
        while (best.Set.Members.Length > 1)
        {
            found.AddRange(neighbourhood.Subsets(best));
            var better = Best();
            if (better == best)
            {
                break;
            }
            best = better;
        }
        return best;
    }

    private Evaluation Best() => found.Where(e => e.Converged).MaxBy(e => e.LogPosterior)!;
}
