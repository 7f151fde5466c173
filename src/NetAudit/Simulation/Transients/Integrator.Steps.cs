namespace NetAudit.Simulation.Transients;

// Single steps: tried, measured, taken or taken again.
internal sealed partial class Integrator
{
    // Takes one step, not beyond the target. False when none converges.
    private bool Step(double target, CancellationToken cancellationToken)
    {
        var left = target - Time;
        // A remainder much shorter than a step would cost a step: the last two are made equal instead.
        var isCut = _step >= left || 2 * _step > left;
        var step =
            _step >= left ? left
            : 2 * _step > left ? left / 2
            : _step;
        while (true)
        {
            var after = step == left ? target : Time + step;
            if (!TryStep(step, after, cancellationToken))
            {
                Retreat();
                step /= 4;
            }
            else
            {
                var error = _options.FixedStep > 0 ? 0 : LargestError(step);
                if (error <= 1)
                {
                    Accept(step, after);
                    ChooseStep(step, isCut, error);
                    return true;
                }
                Retreat();
                step *= Math.Max(MostShrinkage, Safety * Math.Pow(error, -1.0 / 3));
            }
            isCut = false;
            if (step < ShortestShare * _options.LargestStep || Time + step == Time)
            {
                return false;
            }
        }
    }

    private void ChooseStep(double step, bool isCut, double error)
    {
        if (_options.FixedStep > 0)
        {
            return;
        }
        var factor = Math.Clamp(Safety * Math.Pow(error, -1.0 / 3), MostShrinkage, MostGrowth);
        var wanted = factor is > 1 and < WorthwhileGrowth ? step : step * factor;
        // A step cut short to meet a time says nothing against the longer one planned.
        _step = Math.Min(isCut ? Math.Max(_step, wanted) : wanted, _options.LargestStep);
    }

    private bool TryStep(double step, double after, CancellationToken cancellationToken)
    {
        var rate = CompositeRule.Rate(step);
        for (var i = 0; i < _histories.Length; i++)
        {
            _histories[i] = CompositeRule.FirstHistory(rate, _now.Charge[i], _now.Current[i]);
        }
        if (_hasSlope)
        {
            Extrapolate(
                _middleSolution,
                _solution,
                CompositeRule.Share * step / ((1 - CompositeRule.Share) * _lastStep)
            );
        }
        var between = Time + CompositeRule.Share * step;
        if (!Stage(rate, between, _middle, cancellationToken))
        {
            return false;
        }
        Sensitivity?.First(rate);
        _workspace.Solution.CopyTo(_middleSolution);
        for (var i = 0; i < _histories.Length; i++)
        {
            _histories[i] = CompositeRule.SecondHistory(rate, _now.Charge[i], _middle.Charge[i]);
        }
        Extrapolate(_solution, _middleSolution, (1 - CompositeRule.Share) / CompositeRule.Share);
        if (!Stage(rate, after, _next, cancellationToken))
        {
            return false;
        }
        Sensitivity?.Second(rate);
        return true;
    }

    private bool Stage(
        double rate,
        double time,
        DynamicStates states,
        CancellationToken cancellationToken
    )
    {
        SetSources(time);
        _workspace.BeginStage(rate, _histories);
        var converged = _workspace.SolveStage(cancellationToken);
        _iterations += _workspace.StageIterations;
        if (!converged)
        {
            return false;
        }
        _workspace.ReadCharges(states.Charge);
        for (var i = 0; i < _histories.Length; i++)
        {
            states.Current[i] = rate * states.Charge[i] + _histories[i];
        }
        return true;
    }

    // The guess of a stage, on the straight line through two solutions.
    private void Extrapolate(double[] from, double[] through, double share)
    {
        var guess = _workspace.Solution;
        for (var i = 0; i < guess.Length; i++)
        {
            guess[i] = through[i] + share * (through[i] - from[i]);
        }
    }

    // The error of a step in units of what is allowed.
    private double LargestError(double step)
    {
        for (var i = 0; i < _errors.Length; i++)
        {
            _errors[i] = CompositeRule.Error(
                step,
                _now.Current[i],
                _middle.Current[i],
                _next.Current[i]
            );
        }
        var moved = _workspace.Propagate(_errors);
        var worst = 0.0;
        foreach (var (index, floor) in _watched)
        {
            worst = Math.Max(worst, Math.Abs(moved[index]) / (Swing(index) + floor));
        }
        return worst / _options.Tolerance;
    }

    private void Accept(double step, double after)
    {
        Time = after;
        _lastStep = step;
        _hasSlope = true;
        _now.CopyFrom(_next);
        Sensitivity?.Accept();
        Keep();
        foreach (var (index, _) in _watched)
        {
            _low[index] = Math.Min(_low[index], _solution[index]);
            _high[index] = Math.Max(_high[index], _solution[index]);
        }
        _steps++;
        Stepped?.Invoke(this);
    }

    private void Retreat()
    {
        _rejected++;
        _hasSlope = false;
        _solution.CopyTo(_workspace.Solution);
    }

    // Two short steps by the implicit Euler rule, i = (q - q0) / h.
    private bool Restart(double target, CancellationToken cancellationToken)
    {
        var step = Math.Min(RestartShare * _step, (target - Time) / 8);
        for (var taken = 0; taken < 2; )
        {
            var rate = 1 / step;
            for (var i = 0; i < _histories.Length; i++)
            {
                _histories[i] = -rate * _now.Charge[i];
            }
            if (Stage(rate, Time + step, _next, cancellationToken))
            {
                Sensitivity?.Euler(rate);
                Accept(step, Time + step);
                taken++;
            }
            else
            {
                Retreat();
                step /= 4;
                if (step < ShortestShare * RestartShare * _options.LargestStep)
                {
                    return false;
                }
            }
        }
        _hasSlope = false;
        _atCorner = false;
        if (_options.FixedStep == 0)
        {
            _step = Math.Max(10 * step, _step / 100);
        }
        return true;
    }
}
