namespace NetAudit.Simulation.Laws;

/// <summary>A node: the operation, and the ids of its operands (-1 where it has fewer); for a leaf, A is its index.</summary>
internal readonly record struct LawNode(
    LawOperation Operation,
    int A,
    int B,
    int C,
    double Literal
);

/// <summary>
/// The laws of one device as a directed acyclic graph in which equal subexpressions are one node (hash consing), simplified as it grows.
/// A node's operands come before it. Not thread-safe; one graph lives while one law compiles.
/// </summary>
internal sealed class LawGraph
{
    private readonly List<LawNode> _nodes = [];
    private readonly List<bool> _fixed = [];
    private readonly Dictionary<LawNode, int> _ids = [];

    public int Count => _nodes.Count;

    public LawNode this[int id] => _nodes[id];

    /// <summary>True when the node depends on no input: it is computed once per law, not per evaluation.</summary>
    public bool IsFixed(int id) => _fixed[id];

    public int Literal(double value) => Intern(new(LawOperation.Literal, -1, -1, -1, value));

    public int Constant(int index) => Intern(new(LawOperation.Constant, index, -1, -1, 0));

    public int Input(int index) => Intern(new(LawOperation.Input, index, -1, -1, 0));

    public int Negate(int a) =>
        _nodes[a].Operation == LawOperation.Negate ? _nodes[a].A : Make(LawOperation.Negate, a);

    public int Add(int a, int b)
    {
        if (IsLiteral(a, 0))
        {
            return b;
        }
        if (IsLiteral(b, 0))
        {
            return a;
        }
        if (_nodes[b].Operation == LawOperation.Negate)
        {
            return Subtract(a, _nodes[b].A);
        }
        if (_nodes[a].Operation == LawOperation.Negate)
        {
            return Subtract(b, _nodes[a].A);
        }
        if (CutSoftRamp(a, b) is { } ramp)
        {
            return ramp;
        }
        return a < b ? Make(LawOperation.Add, a, b) : Make(LawOperation.Add, b, a);
    }

    // log(1 + exp(min(x, 40))) + max(x - 40, 0) is the soft ramp written so that it cannot overflow: beyond 40 the two differ by less
    // than rounding.
    private int? CutSoftRamp(int a, int b)
    {
        if (_nodes[a].Operation != LawOperation.SoftRamp)
        {
            (a, b) = (b, a);
        }
        var (ramp, rest) = (_nodes[a], _nodes[b]);
        if (ramp.Operation != LawOperation.SoftRamp || rest.Operation != LawOperation.Max)
        {
            return null;
        }
        var (cut, beyond) = (_nodes[ramp.A], _nodes[rest.A]);
        return
            cut.Operation == LawOperation.Min
            && IsLiteral(cut.B, 40)
            && IsLiteral(rest.B, 0)
            && beyond.Operation == LawOperation.Subtract
            && beyond.A == cut.A
            && beyond.B == cut.B
            ? SoftRamp(cut.A)
            : null;
    }

    private int SoftRamp(int x) =>
        Make(LawOperation.SoftRamp, x, Make(LawOperation.ExpOfMinusAbs, x));

    public int Subtract(int a, int b)
    {
        if (IsLiteral(b, 0))
        {
            return a;
        }
        if (IsLiteral(a, 0))
        {
            return Negate(b);
        }
        if (_nodes[b].Operation == LawOperation.Negate)
        {
            return Add(a, _nodes[b].A);
        }
        return a == b ? Literal(0) : Make(LawOperation.Subtract, a, b);
    }

    public int Multiply(int a, int b)
    {
        if (IsLiteral(a, 0) || IsLiteral(b, 0))
        {
            return Literal(0);
        }
        if (IsLiteral(a, 1))
        {
            return b;
        }
        if (IsLiteral(b, 1))
        {
            return a;
        }
        if (IsLiteral(a, -1))
        {
            return Negate(b);
        }
        if (IsLiteral(b, -1))
        {
            return Negate(a);
        }
        if (_nodes[a].Operation == LawOperation.Negate)
        {
            return Negate(Multiply(_nodes[a].A, b));
        }
        if (_nodes[b].Operation == LawOperation.Negate)
        {
            return Negate(Multiply(a, _nodes[b].A));
        }
        if (_fixed[b] && !_fixed[a])
        {
            (a, b) = (b, a);
        }
        // Factors that do not change gather in front, where they are multiplied once per law.
        if (_fixed[a] && !_fixed[b] && _nodes[b].Operation == LawOperation.Multiply)
        {
            var (inner, other) = (_nodes[b].A, _nodes[b].B);
            if (_fixed[inner] || _fixed[other])
            {
                var (factor, rest) = _fixed[inner] ? (inner, other) : (other, inner);
                return Multiply(Multiply(a, factor), rest);
            }
        }
        return a < b ? Make(LawOperation.Multiply, a, b) : Make(LawOperation.Multiply, b, a);
    }

    /// <summary>The quotient as it stands; <see cref="AwayFromZero"/> is the caller's business.</summary>
    public int Divide(int a, int b)
    {
        if (IsLiteral(a, 0))
        {
            return a;
        }
        if (IsLiteral(b, 1))
        {
            return a;
        }
        if (_nodes[a].Operation == LawOperation.Negate)
        {
            return Negate(Divide(_nodes[a].A, b));
        }
        return _fixed[b] && !_fixed[a]
            ? Multiply(a, Make(LawOperation.Divide, Literal(1), b))
            : Make(LawOperation.Divide, a, b);
    }

    public int AwayFromZero(int a) => Make(LawOperation.AwayFromZero, a);

    public int Power(int x, int y)
    {
        if (IsLiteral(y, 1))
        {
            return Make(LawOperation.Abs, x);
        }
        if (IsLiteral(y, 2))
        {
            return Multiply(x, x);
        }
        return IsLiteral(y, 0) ? Literal(1) : Make(LawOperation.Power, x, y);
    }

    /// <summary>log, with log(1 + exp(x)) recognised: it is the heart of tube laws, and overflows when taken literally.</summary>
    public int Log(int a)
    {
        var node = _nodes[a];
        if (node.Operation == LawOperation.Add)
        {
            var (one, exponential) = IsLiteral(node.A, 1) ? (node.A, node.B) : (node.B, node.A);
            if (IsLiteral(one, 1) && _nodes[exponential].Operation == LawOperation.Exp)
            {
                return SoftRamp(_nodes[exponential].A);
            }
        }
        return Make(LawOperation.Log, a);
    }

    public int Select(int condition, int then, int otherwise)
    {
        if (then == otherwise)
        {
            return then;
        }
        if (_nodes[condition].Operation == LawOperation.Literal)
        {
            return _nodes[condition].Literal != 0 ? then : otherwise;
        }
        return Make(LawOperation.Select, condition, then, otherwise);
    }

    /// <summary>Any other operation.</summary>
    public int Make(LawOperation operation, int a, int b = -1, int c = -1)
    {
        if (
            _nodes[a].Operation == LawOperation.Literal
            && (b < 0 || _nodes[b].Operation == LawOperation.Literal)
            && (c < 0 || _nodes[c].Operation == LawOperation.Literal)
        )
        {
            return Literal(LawArithmetic.Apply(operation, Value(a), Value(b), Value(c)));
        }
        return Intern(new(operation, a, b, c, 0));
    }

    public bool IsLiteral(int id, double value) =>
        _nodes[id].Operation == LawOperation.Literal && _nodes[id].Literal == value;

    private double Value(int id) => id < 0 ? 0 : _nodes[id].Literal;

    private int Intern(LawNode node)
    {
        if (!_ids.TryGetValue(node, out var id))
        {
            id = _nodes.Count;
            _nodes.Add(node);
            _fixed.Add(
                node.Operation switch
                {
                    LawOperation.Literal or LawOperation.Constant => true,
                    LawOperation.Input => false,
                    _ => _fixed[node.A]
                        && (node.B < 0 || _fixed[node.B])
                        && (node.C < 0 || _fixed[node.C]),
                }
            );
            _ids.Add(node, id);
        }
        return id;
    }
}
