namespace NetAudit.Simulation.Compilation;

/// <summary>
/// What reads a voltage that a folded source moves: conductances, capacitances, linear stamps, partial derivatives. Edits only take something away
/// from it, for what they move stands on unknowns.
/// </summary>
internal sealed record FoldedReach(
    int[] Conductances,
    int[] Capacitances,
    int[] LinearStamps,
    int[] Partials
)
{
    /// <summary>Rows that these can enter, each counted as often as it is entered.</summary>
    public int MostEntries =>
        2 * (Conductances.Length + Capacitances.Length) + LinearStamps.Length + 2 * Partials.Length;

    public static FoldedReach Of(int source, Topology t)
    {
        var moves = new bool[t.IndexCount];
        foreach (var (group, parent, element, _) in t.Folding.FixedSteps)
        {
            moves[t.UnknownCount + group] = element == source || moves[t.NodeColumn[parent]];
        }
        return new(
            Indices(
                t.Conductances.Length,
                i => Moves(t.Conductances[i].A) || Moves(t.Conductances[i].B)
            ),
            Indices(
                t.Capacitances.Length,
                i => Moves(t.Capacitances[i].A) || Moves(t.Capacitances[i].B)
            ),
            Indices(t.LinearStamps.Length, i => Moves(t.LinearStamps[i].ColumnPort)),
            Indices(t.Partials.Length, i => Moves(t.Partials[i].ColumnPort))
        );

        bool Moves(int port) => t.Ports[port].Column >= 0 && moves[t.Ports[port].Column];
    }

    private static int[] Indices(int count, Func<int, bool> isIn) =>
        [.. Enumerable.Range(0, count).Where(isIn)];
}
