using NetAudit.Circuits;

namespace NetAudit.Audits.Variants.Matching;

/// <summary>
/// How much speaks for a unit or node of one circuit being that of the other, as a log likelihood ratio against any other of its kind:
/// what it is, what it is called, and whether what stands next to it corresponds. What is rare says more than what is common.
/// </summary>
internal sealed class PairScores
{
    // Of parts that survive a revision so many keep value, class and connection (common practice, no source).
    private const double Keeps = 0.9;

    /// <summary>Of parts so many have a counterpart at all (likewise).</summary>
    private const double Stays = 0.95;

    /// <summary>An end that goes elsewhere, or a part that stands elsewhere.</summary>
    private const double Contradiction = -2;

    /// <summary>The least that one neighbour says; the most grows with the circuit, as coincidences get rarer.</summary>
    private const double LeastOfNeighbour = 0.5;

    private readonly CircuitGraph _first;
    private readonly CircuitGraph _second;
    private readonly Dictionary<string, int> _kinds = [];
    private readonly Dictionary<(string, long, string), int> _looks = [];
    private readonly Dictionary<(string, PartClass), int> _classes = [];
    private readonly Dictionary<(string Kind, int Vertex, bool Second), int> _atNode = [];

    // What a node learns from a part that stands at both: another node has it at one of its two ends once in half the nodes.
    private readonly double _partAtNode;
    private readonly HashSet<string> _secondUnitNames;
    private readonly HashSet<string> _secondNodeNames;

    public PairScores(CircuitGraph first, CircuitGraph second)
    {
        _first = first;
        _second = second;
        foreach (var unit in first.Units.Concat(second.Units))
        {
            Count(_kinds, unit.Kind);
            Count(_looks, Look(unit));
            Count(_classes, (unit.Kind, unit.Class));
        }
        _partAtNode = Math.Log(Math.Max(4, Keeps * second.NodeNames.Length / 2));
        CountEnds(first, false);
        CountEnds(second, true);
        _secondUnitNames = Names(second.Units.Select(unit => unit.Name));
        _secondNodeNames = Names(second.NodeNames);
    }

    /// <summary>Evidence of the names of units.</summary>
    public NameEvidence UnitNames { get; set; } = NameEvidence.None;

    /// <summary>Evidence of the names of nodes.</summary>
    public NameEvidence NodeNames { get; set; } = NameEvidence.None;

    /// <summary>A value as a key that is equal for values that are one to six digits.</summary>
    public static long ValueKey(double value) =>
        value == 0 || double.IsNaN(value)
            ? 0
            : Math.Sign(value) * ((long)Math.Round(1e6 * Math.Log(Math.Abs(value))) + (1L << 40));

    /// <summary>True when the name of that vertex occurs in the second circuit.</summary>
    public bool IsKnownName(int vertex) =>
        (_first.IsUnit(vertex) ? _secondUnitNames : _secondNodeNames).Contains(
            _first.NameOf(vertex)
        );

    /// <summary>Score from which a pair is more likely right than that the first has no counterpart.</summary>
    public double Threshold(int vertex)
    {
        var rivals = _first.IsUnit(vertex)
            ? _kinds[_first.Units[vertex].Kind] / 2.0
            : _second.NodeNames.Length;
        return Math.Log(rivals * (1 - Stays) / Stays);
    }

    /// <summary>Score of a pair of two units of one kind, or of two nodes.</summary>
    public double Of(int first, int second, Correspondence known) =>
        _first.IsUnit(first) ? OfUnits(first, second, known) : OfNodes(first, second, known);

    private double OfUnits(int first, int second, Correspondence known)
    {
        var (a, b) = (_first.Units[first], _second.Units[second]);
        var score = OfLooks(a, b) + OfName(a.Name, b.Name, UnitNames, _secondUnitNames);
        var classes = (double)_classes[(a.Kind, a.Class)] / _kinds[a.Kind];
        score += a.Class == b.Class ? Math.Log(Keeps / classes) : -1;
        // Ends of the second that an end of the first has taken.
        var taken = 0;
        var astray = 0;
        foreach (var (node, role) in _first.Neighbours(first))
        {
            var there = known.SecondOf(node);
            if (there < 0)
            {
                continue;
            }
            var found = Take(_second.Neighbours(second), there, role, ref taken);
            if (found)
            {
                score += OfEnd(a.Kind, node, there);
            }
            else
            {
                astray++;
            }
        }
        var back = 0;
        var astrayBack = 0;
        foreach (var (node, role) in _second.Neighbours(second))
        {
            var here = known.FirstOf(node);
            astrayBack +=
                here >= 0 && !Take(_first.Neighbours(first), here, role, ref back) ? 1 : 0;
        }
        return score + Contradiction * Math.Max(astray, astrayBack);
    }

    private double OfLooks(GraphUnit a, GraphUnit b)
    {
        var kind = (double)_kinds[a.Kind];
        if (Look(a) == Look(b))
        {
            return Math.Log(Keeps * kind / _looks[Look(a)]);
        }
        var changed = Math.Log(1 - Keeps);
        if (double.IsNaN(a.Value) || double.IsNaN(b.Value) || a.Value * b.Value <= 0)
        {
            return changed;
        }
        // A revision changes a value by a factor of two rather than by decades.
        return changed + Math.Clamp(1 - Math.Abs(Math.Log(a.Value / b.Value)), -1, 1);
    }

    private double OfNodes(int first, int second, Correspondence known)
    {
        var mine = _first.Neighbours(first);
        var its = _second.Neighbours(second);
        var score =
            OfName(_first.NameOf(first), _second.NameOf(second), NodeNames, _secondNodeNames)
            - 0.5 * Math.Abs(Math.Log((mine.Length + 1.0) / (its.Length + 1.0)));
        var agreeing = 0;
        var astray = 0;
        foreach (var (unit, role) in mine)
        {
            var there = known.SecondOf(unit);
            if (there >= 0)
            {
                var stands = StandsAt(_second, there, second, role);
                agreeing += stands ? 1 : 0;
                astray += stands ? 0 : 1;
            }
        }
        var astrayBack = 0;
        foreach (var (unit, role) in its)
        {
            var here = known.FirstOf(unit);
            astrayBack += here >= 0 && !StandsAt(_first, here, first, role) ? 1 : 0;
        }
        return score + _partAtNode * agreeing + Contradiction * Math.Max(astray, astrayBack);
    }

    private static bool StandsAt(CircuitGraph graph, int unit, int node, int role)
    {
        foreach (var end in graph.Neighbours(unit))
        {
            if (end == (node, role))
            {
                return true;
            }
        }
        return false;
    }

    private double OfEnd(string kind, int node, int there)
    {
        var most = Math.Max(_atNode[(kind, node, false)], _atNode[(kind, there, true)]);
        return Math.Max(LeastOfNeighbour, Math.Log(Keeps * _kinds[kind] / 2.0 / most));
    }

    private static double OfName(
        string first,
        string second,
        NameEvidence evidence,
        HashSet<string> secondNames
    ) =>
        first.Equals(second, StringComparison.OrdinalIgnoreCase) ? evidence.Same
        : secondNames.Contains(first) ? evidence.Other
        : 0;

    // A unit has few ends: those taken are bits.
    private static bool Take(
        ReadOnlySpan<(int Vertex, int Role)> ends,
        int vertex,
        int role,
        ref int taken
    )
    {
        for (var i = 0; i < ends.Length && i < 31; i++)
        {
            if (ends[i].Vertex == vertex && ends[i].Role == role && (taken & (1 << i)) == 0)
            {
                taken |= 1 << i;
                return true;
            }
        }
        return false;
    }

    private void CountEnds(CircuitGraph graph, bool isSecond)
    {
        for (var unit = 0; unit < graph.Units.Length; unit++)
        {
            foreach (var (node, _) in graph.Neighbours(unit))
            {
                Count(_atNode, (graph.Units[unit].Kind, node, isSecond));
            }
        }
    }

    private static (string, long, string) Look(GraphUnit unit) =>
        (unit.Kind, ValueKey(unit.Value), unit.TypeKey);

    private static void Count<T>(Dictionary<T, int> counts, T key)
        where T : notnull => counts[key] = counts.GetValueOrDefault(key) + 1;

    private static HashSet<string> Names(IEnumerable<string> names) =>
        new(names, StringComparer.OrdinalIgnoreCase);
}
