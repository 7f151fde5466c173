using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation.Transients;

/// <summary>
/// Follows a circuit through time, step by step, with the step set by the error each one makes. Works on a workspace on the dynamic
/// topology, whose parameters and edits are those in force. Nothing is allocated by <see cref="AdvanceTo"/>. Not thread-safe.
/// </summary>
internal sealed partial class Integrator
{
    // After a corner of a source the derivatives of before mean nothing: two steps this much shorter than usual, by the implicit Euler
    // rule, which needs none. The first takes up a jump, the second finds the new derivatives.
    private const double RestartShare = 1e-4;

    private const double MostGrowth = 2.5;
    private const double MostShrinkage = 0.2;
    private const double Safety = 0.85;

    // A step is not changed for less: the constant part of the Jacobian can then stay.
    private const double WorthwhileGrowth = 1.2;

    // Steps below this share of the longest are below what any part of an amplifier does.
    private const double ShortestShare = 1e-10;

    private readonly Workspace _workspace;
    private readonly IntegratorOptions _options;
    private readonly (int Element, TimeFunction Function)[] _sources;
    private readonly DynamicStates _now;
    private readonly DynamicStates _middle;
    private readonly DynamicStates _next;
    private readonly double[] _histories;
    private readonly double[] _errors;
    private readonly double[] _solution;
    private readonly double[] _middleSolution;
    private readonly double[] _low;
    private readonly double[] _high;
    private readonly double[] _usual;
    private readonly (int Index, double Floor)[] _watched;
    private double _step;
    private double _lastStep;
    private bool _hasSlope;
    private bool _atCorner;
    private int _steps;
    private int _rejected;
    private int _iterations;

    /// <param name="workspace">On the dynamic topology.</param>
    /// <param name="options">Accuracy and bounds.</param>
    /// <param name="sources">Independent sources that change with time; the others keep their values.</param>
    public Integrator(
        Workspace workspace,
        IntegratorOptions options,
        IEnumerable<(int Element, TimeFunction Function)> sources
    )
    {
        _workspace = workspace;
        _options = options;
        _sources = [.. sources];
        var states = workspace.StateCount;
        _now = new DynamicStates(states);
        _middle = new DynamicStates(states);
        _next = new DynamicStates(states);
        _histories = new double[states];
        _errors = new double[states];
        var t = workspace.Structure;
        _solution = new double[t.IndexCount];
        _middleSolution = new double[t.IndexCount];
        _low = new double[t.IndexCount];
        _high = new double[t.IndexCount];
        _usual = new double[t.IndexCount];
        _watched = [.. Watched(t, options)];
    }

    /// <summary>Seconds since the start.</summary>
    public double Time { get; private set; }

    public Workspace Workspace => _workspace;

    /// <summary>Called after each accepted step, with the workspace at its end.</summary>
    public Action<Integrator>? Stepped { get; set; }

    /// <summary>Charges and fluxes now; see <see cref="DynamicStates"/>.</summary>
    public ReadOnlySpan<double> Charges => _now.Charge;

    /// <summary>Carried along with the steps when given.</summary>
    public StateSensitivity? Sensitivity { get; set; }

    /// <summary>How it has gone so far.</summary>
    public TransientOutcome Outcome(TransientFailure failure) =>
        new(failure, Time, _steps, _rejected, _iterations);

    /// <summary>What an unknown has swung through since the start, or in the period before.</summary>
    public double Swing(int index) => Math.Max(_usual[index], _high[index] - _low[index]);

    /// <summary>Begins at the operating point for the sources' values at time 0. False when there is none.</summary>
    public bool StartAtOperatingPoint(
        ReadOnlySpan<double> startVolts,
        CancellationToken cancellationToken
    )
    {
        Time = 0;
        SetSources(0);
        Array.Clear(_histories);
        _workspace.BeginStage(0, _histories);
        if (!_workspace.Solve(startVolts, cancellationToken).Converged)
        {
            return false;
        }
        Begin();
        return true;
    }

    /// <summary>Begins with everything discharged.</summary>
    public void StartAtRest()
    {
        Time = 0;
        SetSources(0);
        _workspace.Solution.Clear();
        Begin();
        Array.Clear(_now.Charge);
    }

    /// <summary>Gives a source that changes with time another function.</summary>
    public void Replace(int element, TimeFunction function)
    {
        var at = Array.FindIndex(_sources, source => source.Element == element);
        _sources[at] = (element, function);
    }

    /// <summary>Back to time 0 with these charges and fluxes; what the solution was is the first guess.</summary>
    public void StartPeriod(ReadOnlySpan<double> charges)
    {
        Time = 0;
        charges.CopyTo(_now.Charge);
        foreach (var (index, _) in _watched)
        {
            _usual[index] = _high[index] - _low[index];
            _low[index] = _high[index] = _solution[index];
        }
        _hasSlope = false;
        _atCorner = true;
    }

    /// <summary>Goes on to a time, which is met exactly. What ended it early, else <see cref="TransientFailure.None"/>.</summary>
    public TransientFailure AdvanceTo(double time, CancellationToken cancellationToken)
    {
        while (Time < time)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (_steps + _rejected >= _options.MostSteps)
            {
                return TransientFailure.TooManySteps;
            }
            var corner = NextCorner();
            var target = Math.Min(time, corner);
            if (_atCorner)
            {
                if (!Restart(target, cancellationToken))
                {
                    return TransientFailure.StepTooShort;
                }
            }
            else if (!Step(target, cancellationToken))
            {
                return TransientFailure.StepTooShort;
            }
            if (Time >= corner)
            {
                _atCorner = true;
            }
        }
        return TransientFailure.None;
    }

    private static IEnumerable<(int, double)> Watched(Topology t, IntegratorOptions options)
    {
        for (var i = 0; i < t.UnknownCount; i++)
        {
            if (t.IsVoltage[i])
            {
                yield return (i, options.LeastVolts);
            }
        }
        foreach (var inductance in t.Inductances)
        {
            yield return (t.BranchOf[inductance.Element], options.LeastAmps);
        }
    }

    private void Begin()
    {
        _steps = _rejected = _iterations = 0;
        _workspace.ReadCharges(_now.Charge);
        Array.Clear(_now.Current);
        Keep();
        _solution.CopyTo(_low, 0);
        _solution.CopyTo(_high, 0);
        _hasSlope = false;
        _atCorner = true;
        _step = _options.FixedStep > 0 ? _options.FixedStep : _options.LargestStep / 16;
    }

    private void Keep() => _workspace.Solution.CopyTo(_solution);

    private void SetSources(double time)
    {
        foreach (var (element, function) in _sources)
        {
            _workspace.SetSourceNow(element, function.At(time));
        }
    }

    private double NextCorner()
    {
        var next = double.PositiveInfinity;
        foreach (var (_, function) in _sources)
        {
            next = Math.Min(next, function.NextCorner(Time));
        }
        return next;
    }
}
