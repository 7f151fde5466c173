namespace NetAudit.Simulation.Sparse;

/// <summary>Unknowns by degree, smallest first and lowest number first among equals of one visit: doubly linked lists, one a degree.</summary>
internal sealed class DegreeBuckets
{
    private readonly int[] _head;
    private readonly int[] _next;
    private readonly int[] _previous;
    private readonly int[] _degree;
    private int _least;

    public DegreeBuckets(int size)
    {
        _head = new int[size + 1];
        _next = new int[size];
        _previous = new int[size];
        _degree = new int[size];
        Array.Fill(_head, -1);
        Array.Fill(_degree, -1);
        _least = size;
    }

    /// <summary>Adds an unknown, or moves it when it is there.</summary>
    public void Put(int item, int degree)
    {
        if (_degree[item] == degree)
        {
            return;
        }
        Remove(item);
        _degree[item] = degree;
        _previous[item] = -1;
        _next[item] = _head[degree];
        if (_head[degree] >= 0)
        {
            _previous[_head[degree]] = item;
        }
        _head[degree] = item;
        _least = Math.Min(_least, degree);
    }

    /// <summary>Takes an unknown of the least degree if that is at most <paramref name="most"/>.</summary>
    public bool TryTake(int most, out int item)
    {
        while (_least < _head.Length && _head[_least] < 0)
        {
            _least++;
        }
        if (_least >= _head.Length || _least > most)
        {
            item = -1;
            return false;
        }
        item = _head[_least];
        Remove(item);
        return true;
    }

    private void Remove(int item)
    {
        if (_degree[item] < 0)
        {
            return;
        }
        if (_previous[item] >= 0)
        {
            _next[_previous[item]] = _next[item];
        }
        else
        {
            _head[_degree[item]] = _next[item];
        }
        if (_next[item] >= 0)
        {
            _previous[_next[item]] = _previous[item];
        }
        _degree[item] = -1;
    }
}
