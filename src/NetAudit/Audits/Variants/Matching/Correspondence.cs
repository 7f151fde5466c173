namespace NetAudit.Audits.Variants.Matching;

/// <summary>Which vertex of the first circuit is which of the second, as far as it is known; one to one.</summary>
internal sealed class Correspondence
{
    private readonly int[] _second;
    private readonly int[] _first;
    private readonly double[] _trust;

    public Correspondence(CircuitGraph first, CircuitGraph second)
    {
        _second = new int[first.Count];
        _first = new int[second.Count];
        _trust = new double[first.Count];
        Array.Fill(_second, -1);
        Array.Fill(_first, -1);
    }

    /// <summary>The vertex of the second circuit, or -1.</summary>
    public int SecondOf(int first) => _second[first];

    /// <summary>The vertex of the first circuit, or -1.</summary>
    public int FirstOf(int second) => _first[second];

    /// <summary>How sure the match of a vertex of the first circuit was when it was made, 0 to 1.</summary>
    public double Trust(int first) => _trust[first];

    public void Add(int first, int second, double trust)
    {
        _second[first] = second;
        _first[second] = first;
        _trust[first] = trust;
    }

    public void Remove(int first)
    {
        _first[_second[first]] = -1;
        _second[first] = -1;
    }
}
