namespace NetAudit.Audits.Variants.Matching;

/// <summary>
/// Spreads a correspondence from what is sure: each matched pair speaks for pairs next to it, and of all pairs the one that leads its
/// rivals by most is matched next. Where nothing leads (equal halves, equal channels) one of the equals is chosen and its surroundings
/// follow. Deterministic.
/// </summary>
internal sealed class Percolation
{
    /// <summary>Where two matched nodes hold more pairs of parts than this, their parts are not all held against each other.</summary>
    private const int MostPairsAtNode = 600;

    /// <summary>Surroundings of this radius that exist once in each circuit are taken for the same.</summary>
    private const int SureRadius = 2;

    /// <summary>Larger classes of vertices that are alike only close by are left to the settlement.</summary>
    private const int MostLooselyAlike = 40;

    private readonly CircuitGraph _first;
    private readonly CircuitGraph _second;
    private readonly Surroundings _surroundings;
    private readonly PairScores _scores;
    private readonly Correspondence _known;
    private readonly Candidates _candidates;
    private readonly PriorityQueue<
        (int First, int Second, double Lead),
        (double, int, int)
    > _queue = new();
    private readonly CancellationToken _cancellationToken;

    public Percolation(
        CircuitGraph first,
        CircuitGraph second,
        Surroundings surroundings,
        PairScores scores,
        CancellationToken cancellationToken
    )
    {
        (_first, _second, _surroundings) = (first, second, surroundings);
        _scores = scores;
        _known = new(first, second);
        _candidates = new(first.Count, second.Count);
        _cancellationToken = cancellationToken;
    }

    /// <summary>Runs to the end.</summary>
    public Correspondence Run()
    {
        Match(_first.NodeVertex(0), _second.NodeVertex(0), 1);
        MatchSure();
        OfferNames();
        Spread();
        for (var radius = Colours.Radius; radius >= 0; radius--)
        {
            ChooseAmongEquals(radius);
        }
        return _known;
    }

    private void MatchSure()
    {
        for (var radius = Colours.Radius; radius >= SureRadius; radius--)
        {
            foreach (var (first, second) in ColourClasses.Of(Firsts(radius), Seconds(radius)))
            {
                if (first.Length == 1 && second.Length == 1 && AreFree(first[0], second[0]))
                {
                    Match(first[0], second[0], 1);
                }
            }
        }
    }

    // Rare things are candidates wherever they stand, and so are things of one name.
    private void OfferNames()
    {
        foreach (var (first, second) in ColourClasses.Of(Firsts(0), Seconds(0)))
        {
            if (first.Length == 1 && second.Length == 1)
            {
                Offer(first[0], second[0]);
            }
        }
        if (_scores.UnitNames.Same <= 0)
        {
            return;
        }
        var byName = new Dictionary<string, int>(StringComparer.OrdinalIgnoreCase);
        for (var unit = 0; unit < _second.Units.Length; unit++)
        {
            byName[_second.Units[unit].Name] = unit;
        }
        for (var unit = 0; unit < _first.Units.Length; unit++)
        {
            if (byName.TryGetValue(_first.Units[unit].Name, out var same))
            {
                Offer(unit, same);
            }
        }
    }

    private void ChooseAmongEquals(int radius)
    {
        foreach (var (first, second) in ColourClasses.Of(Firsts(radius), Seconds(radius)))
        {
            foreach (var mine in first.Where(mine => _known.SecondOf(mine) < 0))
            {
                // Matching one of the class may have matched others.
                if (_known.SecondOf(mine) >= 0)
                {
                    continue;
                }
                var free = second.Where(its => _known.FirstOf(its) < 0).ToArray();
                if (free.Length == 0 || (radius < SureRadius && free.Length > MostLooselyAlike))
                {
                    break;
                }
                var best = free.MaxBy(its => _scores.Of(mine, its, _known));
                if (
                    radius >= SureRadius
                    || _scores.Of(mine, best, _known) > _scores.Threshold(mine)
                )
                {
                    Match(mine, best, 1.0 / free.Length);
                    Spread();
                }
            }
        }
    }

    private void Spread()
    {
        while (_queue.TryDequeue(out var pair, out _))
        {
            _cancellationToken.ThrowIfCancellationRequested();
            var (first, second, lead) = pair;
            if (!AreFree(first, second))
            {
                continue;
            }
            var now = Lead(first, second, out var share);
            if (now < lead - 1e-9)
            {
                Enqueue(first, second, now);
                continue;
            }
            if (_candidates.ScoreOf(first, second) > _scores.Threshold(first))
            {
                Match(first, second, share * TrustAround(first));
            }
        }
    }

    /// <summary>What a match inherits: it is no surer than the surest of what it was concluded from.</summary>
    private double TrustAround(int first)
    {
        var most = 0.0;
        foreach (var (neighbour, _) in _first.Neighbours(first))
        {
            // Everything stands at chassis: that proves nothing.
            if (_known.SecondOf(neighbour) >= 0 && neighbour != _first.NodeVertex(0))
            {
                most = Math.Max(most, _known.Trust(neighbour));
            }
        }
        return most > 0 ? most : 1;
    }

    private void Match(int first, int second, double trust)
    {
        _known.Add(first, second, trust);
        var mine = _first.Neighbours(first);
        var its = _second.Neighbours(second);
        if ((long)mine.Length * its.Length <= MostPairsAtNode)
        {
            foreach (var (a, role) in mine)
            {
                foreach (var (b, otherRole) in its)
                {
                    if (role == otherRole)
                    {
                        Offer(a, b);
                    }
                }
            }
        }
        foreach (var (neighbour, _) in mine)
        {
            Refresh(neighbour);
        }
        // Whoever had one of the two for a rival leads by more now.
        foreach (var rival in _candidates.FirstsOf(second))
        {
            Enqueue(rival);
        }
        foreach (var (neighbour, _) in its)
        {
            foreach (var rival in _candidates.FirstsOf(neighbour))
            {
                Refresh(rival, neighbour);
            }
        }
    }

    private void Offer(int first, int second)
    {
        if (!AreFree(first, second) || !AreOfOneKind(first, second))
        {
            return;
        }
        if (_candidates.Add(first, second, _scores.Of(first, second, _known)))
        {
            Enqueue(first);
        }
    }

    private void Refresh(int first)
    {
        if (_known.SecondOf(first) >= 0)
        {
            return;
        }
        foreach (var second in _candidates.SecondsOf(first))
        {
            if (_known.FirstOf(second) < 0)
            {
                _candidates.Set(first, second, _scores.Of(first, second, _known));
            }
        }
        Enqueue(first);
    }

    private void Refresh(int first, int second)
    {
        if (AreFree(first, second))
        {
            _candidates.Set(first, second, _scores.Of(first, second, _known));
            Enqueue(first);
        }
    }

    private void Enqueue(int first)
    {
        if (_known.SecondOf(first) < 0 && _candidates.Best(first, _known) is { } second)
        {
            Enqueue(first, second, Lead(first, second, out _));
        }
    }

    // A place that is more like the vertex's own, though nothing leads there yet, is a rival too.
    private double Lead(int first, int second, out double share) =>
        _candidates.Lead(first, second, _known, out share) + _surroundings.Evidence(first, second);

    private void Enqueue(int first, int second, double lead)
    {
        var common = _surroundings.Common(first, second);
        _queue.Enqueue((first, second, lead), (-lead, -common, first));
    }

    private bool AreFree(int first, int second) =>
        _known.SecondOf(first) < 0 && _known.FirstOf(second) < 0;

    private bool AreOfOneKind(int first, int second) =>
        _first.IsUnit(first) == _second.IsUnit(second)
        && (!_first.IsUnit(first) || _first.Units[first].Kind == _second.Units[second].Kind);

    private ReadOnlySpan<ulong> Firsts(int radius) => _surroundings.First(radius);

    private ReadOnlySpan<ulong> Seconds(int radius) => _surroundings.Second(radius);
}
