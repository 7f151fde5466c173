using NetAudit.Diagnosis.Evidence;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// The free fault values of a set, as logarithms: their whitened derivatives, the Gauss-Newton step, and the share of their prior range
/// that the readings leave. Buffers are reused. Not thread-safe.
/// </summary>
/// <param name="readings">Number of readings.</param>
internal sealed class FreeValues(int readings)
{
    private readonly double[] _columns = new double[readings * SetEvaluator.MaxMembers];
    private readonly double[] _hessian = new double[
        SetEvaluator.MaxMembers * SetEvaluator.MaxMembers
    ];
    private readonly int[] _members = new int[SetEvaluator.MaxMembers];
    private FaultSet _set = FaultSet.Healthy;

    /// <summary>How many there are.</summary>
    public int Count { get; private set; }

    /// <summary>Whitened d(reading)/d(log value), [readings x Count].</summary>
    public Span<double> Columns => _columns.AsSpan(0, readings * Count);

    /// <summary>The step toward the maximum, one a free value, nats; valid after <see cref="FindStep"/>.</summary>
    public double[] Step { get; } = new double[SetEvaluator.MaxMembers];

    /// <summary>Takes the free values of a set.</summary>
    public void Begin(FaultSet set)
    {
        _set = set;
        Count = 0;
        for (var i = 0; i < set.Members.Length; i++)
        {
            if (set.Members[i].Range.IsContinuous)
            {
                _members[Count++] = i;
            }
        }
    }

    /// <summary>The member that a free value belongs to.</summary>
    public int MemberOf(int free) => _members[free];

    /// <summary>The free value of a member, or -1.</summary>
    public int Of(int member) => Array.IndexOf(_members, member, 0, Count);

    /// <summary>Finds the Gauss-Newton step from these log values, within each value's range and at most <paramref name="longest"/>.</summary>
    public void FindStep(
        ReadOnlySpan<double> residual,
        ReadOnlySpan<double> logValues,
        double longest
    )
    {
        FillHessian();
        for (var a = 0; a < Count; a++)
        {
            Step[a] = Gradient(residual, a);
        }
        SmallMatrix.Cholesky(_hessian, Count);
        SmallMatrix.SolveFactored(_hessian, Step.AsSpan(0, Count));
        for (var a = 0; a < Count; a++)
        {
            var range = _set.Members[_members[a]].Range;
            var from = logValues[_members[a]];
            var to = from + Math.Clamp(Step[a], -longest, longest);
            Step[a] = Math.Clamp(to, Math.Log(range.Low), Math.Log(range.High)) - from;
        }
    }

    /// <summary>What the step takes off the squared length of the residual, each part of it no longer than <paramref name="longest"/>.</summary>
    public double Reduction(ReadOnlySpan<double> residual, double longest)
    {
        var gain = 0.0;
        var curvature = 0.0;
        for (var a = 0; a < Count; a++)
        {
            Step[a] = Math.Clamp(Step[a], -longest, longest);
            gain += Step[a] * Gradient(residual, a);
        }
        for (var a = 0; a < Count; a++)
        {
            for (var b = 0; b < Count; b++)
            {
                curvature += Step[a] * Step[b] * Product(a, b);
            }
        }
        return Math.Max(0, 2 * gain - curvature);
    }

    /// <summary>Log of the share of each value's prior range that the readings leave, by the Cholesky factor of the information matrix.</summary>
    public double Occam()
    {
        FillHessian();
        SmallMatrix.Cholesky(_hessian, Count);
        var total = 0.0;
        for (var a = 0; a < Count; a++)
        {
            var width = _set.Members[_members[a]].Range.LogWidth;
            total += Math.Min(
                0,
                0.5 * Math.Log(2 * Math.PI) - Math.Log(_hessian[a * Count + a] * width)
            );
        }
        return total;
    }

    private void FillHessian()
    {
        for (var a = 0; a < Count; a++)
        {
            for (var b = 0; b < Count; b++)
            {
                _hessian[a * Count + b] = Product(a, b);
            }
            // A weak pull of the size of the range keeps an invisible value from running away.
            var width = _set.Members[_members[a]].Range.LogWidth;
            _hessian[a * Count + a] += 1 / (width * width);
        }
    }

    private double Gradient(ReadOnlySpan<double> residual, int a)
    {
        var sum = 0.0;
        for (var i = 0; i < residual.Length; i++)
        {
            sum += _columns[i * Count + a] * residual[i];
        }
        return sum;
    }

    private double Product(int a, int b)
    {
        var sum = 0.0;
        for (var i = 0; i < readings; i++)
        {
            sum += _columns[i * Count + a] * _columns[i * Count + b];
        }
        return sum;
    }
}
