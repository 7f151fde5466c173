namespace NetAudit.Audits.Variants.Matching;

/// <summary>A matched pair of vertices.</summary>
/// <param name="First">Vertex of the first circuit.</param>
/// <param name="Second">Vertex of the second circuit.</param>
/// <param name="Confidence">Probability that it is right, as far as the evidence of names, values and connections goes; 0 to 1.</param>
internal readonly record struct VertexMatch(int First, int Second, double Confidence);

/// <summary>
/// Matches two graphs: by structure alone; then, knowing how far names agree where structure is sure, with names; last, what is left
/// or doubtful by best assignment against everything that is known.
/// </summary>
internal static class GraphMatcher
{
    /// <summary>Pairs surer than this say how far names can be relied on.</summary>
    private const double Sure = 0.9;

    public static VertexMatch[] Match(
        CircuitGraph first,
        CircuitGraph second,
        CancellationToken cancellationToken
    )
    {
        var surroundings = new Surroundings(first, second);
        var scores = new PairScores(first, second);
        Correspondence Percolate() =>
            new Percolation(first, second, surroundings, scores, cancellationToken).Run();

        var known = Percolate();
        LearnNames(scores, first, second, known);
        if (scores.UnitNames.IsTelling || scores.NodeNames.IsTelling)
        {
            known = Percolate();
        }
        return new Settlement(first, second, scores, known, cancellationToken).Run();
    }

    private static void LearnNames(
        PairScores scores,
        CircuitGraph first,
        CircuitGraph second,
        Correspondence byStructure
    )
    {
        var (units, unitsAgreeing, nodes, nodesAgreeing) = (0, 0, 0, 0);
        for (var vertex = 0; vertex < first.Count; vertex++)
        {
            var there = byStructure.SecondOf(vertex);
            if (
                there < 0
                || byStructure.Trust(vertex) < Sure
                || vertex == first.NodeVertex(0)
                || !scores.IsKnownName(vertex)
            )
            {
                continue;
            }
            var agrees = first
                .NameOf(vertex)
                .Equals(second.NameOf(there), StringComparison.OrdinalIgnoreCase);
            if (first.IsUnit(vertex))
            {
                units++;
                unitsAgreeing += agrees ? 1 : 0;
            }
            else
            {
                nodes++;
                nodesAgreeing += agrees ? 1 : 0;
            }
        }
        scores.UnitNames = NameEvidence.Of(unitsAgreeing, units, second.Units.Length);
        scores.NodeNames = NameEvidence.Of(nodesAgreeing, nodes, second.NodeNames.Length);
    }
}
