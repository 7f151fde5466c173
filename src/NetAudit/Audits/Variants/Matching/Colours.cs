namespace NetAudit.Audits.Variants.Matching;

/// <summary>
/// Colours of the vertices of a graph by neighbourhood: at radius 0 what a vertex is, at each further radius also the colours around it
/// (colour refinement after Weisfeiler and Leman). Equal colours at radius r mean equal surroundings r steps around, whatever
/// anything is called. Chassis keeps one colour, or a single change would colour the whole circuit anew.
/// </summary>
internal sealed class Colours
{
    /// <summary>Largest radius.</summary>
    public const int Radius = 10;

    private readonly ulong[][] _colours = new ulong[Radius + 1][];

    public Colours(CircuitGraph graph)
    {
        _colours[0] = new ulong[graph.Count];
        for (var vertex = 0; vertex < graph.Count; vertex++)
        {
            _colours[0][vertex] = First(graph, vertex);
        }
        var chassis = graph.NodeVertex(0);
        var around = new List<ulong>();
        for (var radius = 1; radius <= Radius; radius++)
        {
            var before = _colours[radius - 1];
            var now = _colours[radius] = new ulong[graph.Count];
            for (var vertex = 0; vertex < graph.Count; vertex++)
            {
                if (vertex == chassis)
                {
                    now[vertex] = before[vertex];
                    continue;
                }
                around.Clear();
                foreach (var (neighbour, role) in graph.Neighbours(vertex))
                {
                    around.Add(Mix(before[neighbour], (ulong)role));
                }
                around.Sort();
                var colour = Mix(before[vertex], (ulong)around.Count);
                foreach (var neighbour in around)
                {
                    colour = Mix(colour, neighbour);
                }
                now[vertex] = colour;
            }
        }
    }

    /// <summary>Colours at a radius, by vertex.</summary>
    public ReadOnlySpan<ulong> At(int radius) => _colours[radius];

    /// <summary>The largest radius at which two vertices have one colour, or -1.</summary>
    public static int CommonRadius(Colours first, int vertex, Colours second, int other)
    {
        var radius = -1;
        while (
            radius < Radius
            && first._colours[radius + 1][vertex] == second._colours[radius + 1][other]
        )
        {
            radius++;
        }
        return radius;
    }

    private static ulong First(CircuitGraph graph, int vertex)
    {
        if (!graph.IsUnit(vertex))
        {
            return vertex == graph.NodeVertex(0) ? 1UL : 2UL;
        }
        var unit = graph.Units[vertex];
        var colour = Mix(Hash(unit.Kind), Hash(unit.TypeKey));
        return Mix(colour, (ulong)PairScores.ValueKey(unit.Value));
    }

    // FNV-1a: the runtime's own string hash differs from run to run.
    private static ulong Hash(string text)
    {
        var hash = 14695981039346656037UL;
        foreach (var letter in text)
        {
            hash = (hash ^ letter) * 1099511628211UL;
        }
        return hash;
    }

    // The finaliser of splitmix64 over a combination of both.
    private static ulong Mix(ulong first, ulong second)
    {
        var x = first * 0x9E3779B97F4A7C15UL + second + 0x632BE59BD9B4E019UL;
        x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9UL;
        x = (x ^ (x >> 27)) * 0x94D049BB133111EBUL;
        return x ^ (x >> 31);
    }
}
