namespace NetAudit.Audits.Variants.Matching;

/// <summary>How far around two vertices everything is alike, and what that says.</summary>
internal sealed class Surroundings
{
    /// <summary>What each step speaks against a pair by which another vertex would be more alike, in nats.</summary>
    private const double PerStep = -0.75;
    private const int MostSteps = 4;

    private readonly Colours _first;
    private readonly Colours _second;
    private readonly int[] _furthestOfFirst;
    private readonly int[] _furthestOfSecond;

    public Surroundings(CircuitGraph first, CircuitGraph second)
    {
        _first = new(first);
        _second = new(second);
        _furthestOfFirst = Furthest(_first, _second);
        _furthestOfSecond = Furthest(_second, _first);
    }

    /// <summary>Colours of the first circuit at a radius.</summary>
    public ReadOnlySpan<ulong> First(int radius) => _first.At(radius);

    /// <summary>Colours of the second circuit at a radius.</summary>
    public ReadOnlySpan<ulong> Second(int radius) => _second.At(radius);

    /// <summary>The largest radius within which the surroundings of the two are alike, or -1.</summary>
    public int Common(int first, int second) =>
        Colours.CommonRadius(_first, first, _second, second);

    /// <summary>What speaks against a pair when one of them has a place in the other circuit that is more like its own.</summary>
    public double Evidence(int first, int second)
    {
        var furthest = Math.Max(_furthestOfFirst[first], _furthestOfSecond[second]);
        return PerStep * Math.Min(MostSteps, furthest - Common(first, second));
    }

    private static int[] Furthest(Colours own, Colours other)
    {
        var furthest = new int[own.At(0).Length];
        Array.Fill(furthest, -1);
        for (var radius = 0; radius <= Colours.Radius; radius++)
        {
            var there = new HashSet<ulong>(other.At(radius).ToArray());
            var here = own.At(radius);
            for (var vertex = 0; vertex < furthest.Length; vertex++)
            {
                if (there.Contains(here[vertex]))
                {
                    furthest[vertex] = radius;
                }
            }
        }
        return furthest;
    }
}
