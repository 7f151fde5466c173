namespace NetAudit.Simulation;

// Damped Newton iteration in residual form: J dx = -F(x), F evaluated exactly, so that the residual is the evidence of convergence and
// an inexact factorisation costs iterations, not accuracy.
public sealed unsafe partial class Workspace
{
    // A change is measured against the larger of a value's magnitude and these.
    private const double VoltScale = 1.0;
    private const double AmpereScale = 1e-3;

    // Relative error at which a solution is accepted: a nanovolt at one volt; ten microvolts when only foretelling.
    private const double ExactTolerance = 1e-9;
    private const double RoughTolerance = 1e-5;

    // Where rounding in nodes that only leakage holds stops the error from shrinking further.
    private const double RoundingTolerance = 1e-7;

    // By how much the contraction of a simplified step may understate that of the next: the factors are those of one point, the error
    // grows with the distance to both.
    private const double ContractionDoubt = 4;

    // How much a junction's slope changes a volt: once in a thermal voltage. After a long step the old factors say nothing about the
    // error that a simplified step leaves, however small that step.
    private const double SlopeChange = 40;

    // The last steps have to shrink at least this fast for their error estimate to count.
    private const double FastContraction = 0.25;

    private const double LeastDamping = 1e-6;

    private int _iterations;

    private double Tolerance => IsRough ? RoughTolerance : ExactTolerance;

    /// <summary>Iterates from V. On success V is the solution, and F, flows and partials are those there.</summary>
    private bool Newton(int mostIterations, CancellationToken cancellationToken)
    {
        if (!Iterate(mostIterations, cancellationToken))
        {
            return false;
        }
        Evaluate(_m.V, limit: false);
        return true;
    }

    private bool Iterate(int mostIterations, CancellationToken cancellationToken)
    {
        if (_stale && !PrepareStatic())
        {
            return false;
        }
        if (!EvaluateStart())
        {
            return false;
        }
        var damping = 1.0;
        for (var iteration = 0; iteration < mostIterations; iteration++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            _iterations++;
            if (!Factor())
            {
                return false;
            }
            SolveLinear(_m.F, _m.Step);
            var size = Norm(_m.Step);
            if (!double.IsFinite(size))
            {
                return false;
            }
            if (size <= Tolerance * 0.1)
            {
                Advance(_m.V, -1, _m.Step, _m.V);
                return true;
            }
            if (!TakeStep(size, ref damping, out var contraction, out var correction))
            {
                return false;
            }
            if (damping < 1)
            {
                continue;
            }
            // The simplified step has been solved for anyway: applied, it leaves an error smaller by the contraction again.
            if (
                (
                    contraction <= FastContraction
                    && correction * Math.Max(contraction * ContractionDoubt, size * SlopeChange)
                        <= Tolerance
                )
                || (correction <= 0.1 * Tolerance && size <= 1 / SlopeChange)
                || (size <= RoundingTolerance && contraction >= 0.5)
            )
            {
                Advance(_m.V, -1, _m.Simplified, _m.V);
                return true;
            }
        }
        return false;
    }

    // First evaluation. Start values that drive a junction absurdly hard are limited from zero.
    private bool EvaluateStart()
    {
        FollowFixed(_m.V);
        Evaluate(_m.V, limit: false);
        CommitJunctions();
        if (Residual() < AbsurdAmperes)
        {
            return true;
        }
        new Span<double>(_m.OldJunctions, _t.JunctionCount).Clear();
        Evaluate(_m.V, limit: true);
        CommitJunctions();
        return double.IsFinite(Residual());
    }

    private const double AbsurdAmperes = 1e3;

    /// <summary>
    /// Moves V along the Newton step, shortened until the simplified step (new residual, old factors) is smaller than the step: the
    /// natural monotonicity test of P. Deuflhard, Newton Methods for Nonlinear Problems, 2004, section 3.3. It does not depend on the
    /// scaling of the equations. Steps that a junction limits are taken as they are.
    /// </summary>
    private bool TakeStep(
        double size,
        ref double damping,
        out double contraction,
        out double correction
    )
    {
        damping = Math.Min(1, damping * 4);
        while (true)
        {
            Advance(_m.V, -damping, _m.Step, _m.Trial);
            var limited = Evaluate(_m.Trial, limit: true);
            if (limited && double.IsFinite(Residual()))
            {
                Accept();
                (contraction, correction) = (1, size);
                damping = Math.Min(damping, 0.999);
                return true;
            }
            SolveLinear(_m.F, _m.Simplified);
            correction = Norm(_m.Simplified);
            contraction = correction / size;
            if (contraction <= 1 - damping / 4 || correction <= Tolerance)
            {
                Accept();
                return true;
            }
            var shorter = double.IsFinite(correction)
                ? Math.Clamp(
                    0.5 * size * damping * damping / Deviation(damping),
                    damping / 10,
                    damping / 2
                )
                : damping / 8;
            if (shorter < LeastDamping)
            {
                // At rounding level nothing can be gained any more.
                if (size <= RoundingTolerance)
                {
                    Accept();
                    damping = 1;
                    return true;
                }
                return false;
            }
            damping = shorter;
        }
    }

    // Size of the simplified step less what a linear system would leave of the step.
    private double Deviation(double damping)
    {
        var worst = 0.0;
        for (var i = 0; i < _t.UnknownCount; i++)
        {
            worst = Math.Max(worst, Weigh(i, _m.Simplified[i] - (1 - damping) * _m.Step[i]));
        }
        for (var i = _t.FirstEdit; i < _t.FirstEdit + _places; i++)
        {
            worst = Math.Max(worst, Weigh(i, _m.Simplified[i] - (1 - damping) * _m.Step[i]));
        }
        return worst;
    }

    private void Accept()
    {
        for (var i = 0; i < _t.UnknownCount; i++)
        {
            _m.V[i] = _m.Trial[i];
        }
        for (var i = _t.UnknownCount; i < _t.FirstEdit + _places; i++)
        {
            _m.V[i] = _m.Trial[i];
        }
        CommitJunctions();
    }

    private void CommitJunctions() => Copy(_m.NewJunctions, _m.OldJunctions, _t.JunctionCount);

    // to = from + factor * step, and what follows from it.
    private void Advance(double* from, double factor, double* step, double* to)
    {
        for (var i = 0; i < _t.UnknownCount; i++)
        {
            to[i] = from[i] + factor * step[i];
        }
        for (var i = _t.FirstEdit; i < _t.FirstEdit + _places; i++)
        {
            to[i] = from[i] + factor * step[i];
        }
        for (var i = _t.UnknownCount; i < _t.FirstEdit; i++)
        {
            to[i] = from[i];
        }
        if (_places > 0)
        {
            FollowFixed(to);
        }
    }

    // Largest change against the scale of what changes; NaN when any is.
    private double Norm(double* step)
    {
        var worst = 0.0;
        for (var i = 0; i < _t.UnknownCount; i++)
        {
            worst = Math.Max(worst, Weigh(i, step[i]));
        }
        for (var i = _t.FirstEdit; i < _t.FirstEdit + _places; i++)
        {
            worst = Math.Max(worst, Weigh(i, step[i]));
        }
        return worst;
    }

    private double Weigh(int index, double change) =>
        Math.Abs(change) / Math.Max(_m.Scale[index], Math.Abs(_m.V[index]));

    /// <summary>Largest current left over at a node, amperes, at the point last evaluated.</summary>
    private double Residual()
    {
        var worst = 0.0;
        for (var i = 0; i < _t.UnknownCount; i++)
        {
            worst = Math.Max(worst, Math.Abs(_m.F[i]));
        }
        for (var i = _t.FirstEdit; i < _t.FirstEdit + _places; i++)
        {
            worst = Math.Max(worst, Math.Abs(_m.F[i]));
        }
        return worst;
    }
}
