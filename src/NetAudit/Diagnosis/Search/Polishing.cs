namespace NetAudit.Diagnosis.Search;

/// <summary>The end of a search: drops what does not pay for itself and looks around what is left.</summary>
/// <param name="neighbourhood">Finds sets near others.</param>
/// <param name="found">Everything refined so far; what is found is added.</param>
internal sealed class Polishing(Neighbourhood neighbourhood, List<Evaluation> found)
{
    private const int Rounds = 3;

    /// <summary>A set this many nats below the best is a rival.</summary>
    private const double Rivalry = 1;

    /// <summary>
    /// Looks around the best set, and around its rival when that is nearly as good (else the one explored gains by its neighbours'
    /// number alone), for as long as that finds a better one.
    /// </summary>
    public void Run(int maxFaults)
    {
        var explored = new HashSet<string>();
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
                    .Where(e => !e.Set.Members.IsEmpty && explored.Add(e.Set.Key)),
            ];
            foreach (var centre in centres)
            {
                found.AddRange(neighbourhood.Explore(centre, maxFaults));
            }
            if (Best() == best)
            {
                return;
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
