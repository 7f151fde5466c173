namespace NetAudit.Simulation;

// The ladder: Newton from the start values; then ways that lead there by a path of easier circuits.
public sealed unsafe partial class Workspace
{
    private const int MostNewtonIterations = 60;
    private const int MostStepIterations = 25;
    private const int MostPathSteps = 120;
    private const double FirstShunt = 1e-2;
    private const double LastShunt = 1e-13;

    /// <summary>
    /// Finds the operating point. <paramref name="startVolts"/> by node is where to look first; empty means from nothing (hints of the
    /// netlist apart). When nothing converges the outcome says so, and there is no operating point to read.
    /// </summary>
    public SolveOutcome Solve(
        ReadOnlySpan<double> startVolts,
        CancellationToken cancellationToken = default
    )
    {
        _iterations = 0;
        _solved = false;
        _readFactored = false;
        _adjointsKnown = false;
        _loadedSolutions.Clear();
        _leftSolution = false;
        if (_shunt != 0 || _sourceScale != 1)
        {
            SetPath(0, 1);
        }
        if (_t.Contradiction is not null)
        {
            return new(false, 0, double.PositiveInfinity, SolveStrategy.None);
        }
        Begin(startVolts);
        var strategy = SolveStrategy.None;
        if (Newton(MostNewtonIterations, cancellationToken))
        {
            strategy = SolveStrategy.Newton;
        }
        else if (FollowTransient(cancellationToken))
        {
            strategy = SolveStrategy.PseudoTransient;
        }
        else if (LowerLeakage(cancellationToken))
        {
            strategy = SolveStrategy.LeakageStepping;
        }
        else if (RaiseSources(cancellationToken))
        {
            strategy = SolveStrategy.SourceStepping;
        }
        if (strategy == SolveStrategy.None)
        {
            var residual = Residual();
            SetPath(0, 1);
            return new(false, _iterations, residual, strategy);
        }
        _solved = true;
        SolveCount++;
        for (var node = 0; node < _volts.Length; node++)
        {
            _volts[node] = _m.V[_nodeColumn[node]];
        }
        return new(true, _iterations, Residual(), strategy);
    }

    /// <summary>Volts from the node outside each resistance of a semiconductor to the inner node.</summary>
    internal double[] InnerDrops() =>
        [.. _t.InnerNodes.Select(node => _m.V[node.Inner] - _m.V[_t.Ports[node.OuterPort].Column])];

    private void Begin(ReadOnlySpan<double> startVolts)
    {
        new Span<double>(_m.Start, _t.IndexCount).Clear();
        if (startVolts.IsEmpty)
        {
            foreach (var (node, volts) in Circuit.Circuit.Hints)
            {
                _m.Start[_t.NodeColumn[node]] = volts;
            }
        }
        else
        {
            for (var node = 1; node < startVolts.Length; node++)
            {
                _m.Start[_t.NodeColumn[node]] = startVolts[node];
            }
        }
        if (_t.InnerNodes.Length > 0)
        {
            var drops = startVolts.IsEmpty ? [] : Circuit.InnerDrops;
            for (var i = 0; i < _t.InnerNodes.Length; i++)
            {
                var (inner, outerPort) = _t.InnerNodes[i];
                var outer = _m.Start[_t.Ports[outerPort].Column];
                _m.Start[inner] = drops.IsEmpty ? outer : outer + drops[i];
            }
        }
        _m.Start[_t.Chassis] = 0;
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Kind is EditKind.Joint or EditKind.Tree)
            {
                var node = _edits[i].A;
                _m.Start[_edits[i].Place] = startVolts.IsEmpty ? 0 : startVolts[node];
            }
        }
        Copy(_m.Start, _m.V, _t.IndexCount);
    }

    private void SetPath(double shunt, double sourceScale)
    {
        if (_shunt != shunt || _sourceScale != sourceScale)
        {
            _shunt = shunt;
            _sourceScale = sourceScale;
            _stale = true;
        }
    }

    // Pseudo-transient continuation: a capacitor at every node, implicit Euler steps that grow as the circuit comes to rest. A step that
    // fails is taken again, shorter. (C. T. Kelley and D. E. Keyes, SIAM J. Numer. Anal. 35, 1998, p. 508.)
    private bool FollowTransient(CancellationToken cancellationToken)
    {
        Copy(_m.Start, _m.V, _t.IndexCount);
        Copy(_m.V, _m.Reference, _t.IndexCount);
        var shunt = FirstShunt;
        for (var step = 0; step < MostPathSteps; step++)
        {
            SetPath(shunt, 1);
            var before = _iterations;
            if (Newton(MostStepIterations, cancellationToken))
            {
                Copy(_m.V, _m.Reference, _t.IndexCount);
                if (shunt == 0)
                {
                    return true;
                }
                shunt /= _iterations - before <= 6 ? 10 : 3;
                if (shunt < LastShunt)
                {
                    shunt = 0;
                }
            }
            else
            {
                Copy(_m.Reference, _m.V, _t.IndexCount);
                shunt = shunt == 0 ? LastShunt : shunt * 5;
                if (shunt > 1e3)
                {
                    return false;
                }
            }
        }
        return false;
    }

    // Leakage to chassis at every node, reduced step by step from a circuit that is all but shorted.
    private bool LowerLeakage(CancellationToken cancellationToken)
    {
        new Span<double>(_m.V, _t.IndexCount).Clear();
        new Span<double>(_m.Reference, _t.IndexCount).Clear();
        var shunt = FirstShunt;
        var ratio = 10.0;
        Copy(_m.V, _m.Start, _t.IndexCount);
        for (var step = 0; step < MostPathSteps; step++)
        {
            SetPath(shunt, 1);
            if (Newton(MostStepIterations, cancellationToken))
            {
                if (shunt == 0)
                {
                    return true;
                }
                Copy(_m.V, _m.Start, _t.IndexCount);
                ratio = Math.Min(10, ratio * 1.5);
            }
            else
            {
                Copy(_m.Start, _m.V, _t.IndexCount);
                shunt = shunt == 0 ? LastShunt * ratio : shunt * ratio;
                ratio = Math.Sqrt(ratio);
                if (ratio < 1.01 || shunt > 1e3)
                {
                    return false;
                }
            }
            shunt /= ratio;
            if (shunt < LastShunt)
            {
                shunt = 0;
            }
        }
        return false;
    }

    // All sources from zero to their value; a step that fails is halved.
    private bool RaiseSources(CancellationToken cancellationToken)
    {
        new Span<double>(_m.V, _t.IndexCount).Clear();
        new Span<double>(_m.Start, _t.IndexCount).Clear();
        var reached = 0.0;
        var stride = 0.1;
        for (var step = 0; step < MostPathSteps; step++)
        {
            var target = Math.Min(1, reached + stride);
            SetPath(0, target);
            if (Newton(MostStepIterations, cancellationToken))
            {
                if (target == 1)
                {
                    return true;
                }
                reached = target;
                stride *= 1.5;
                Copy(_m.V, _m.Start, _t.IndexCount);
            }
            else
            {
                Copy(_m.Start, _m.V, _t.IndexCount);
                stride /= 2;
                if (stride < 1e-4)
                {
                    return false;
                }
            }
        }
        return false;
    }

    // Current through a folded element: what all else takes out of the nodes beyond it.
    private double FoldedAmps(int element)
    {
        var folding = _t.Folding;
        var child = Array.IndexOf(folding.ParentElement, element);
        if (child < 0)
        {
            throw new ArgumentException("This element has no branch current.", nameof(element));
        }
        Evaluate(_m.V, limit: false);
        var leaving = 0.0;
        for (var i = 0; i < _t.Conductances.Length; i++)
        {
            var (a, b) = (_t.Conductances[i].A, _t.Conductances[i].B);
            var current = _m.Siemens[i] * (_m.V[_links.PortColumn[a]] - _m.V[_links.PortColumn[b]]);
            Count(_t.Ports[a].Node, current);
            Count(_t.Ports[b].Node, -current);
        }
        for (var i = 0; i < _t.Capacitances.Length; i++)
        {
            var current = AmpsThrough(i);
            Count(_t.Ports[_t.Capacitances[i].A].Node, current);
            Count(_t.Ports[_t.Capacitances[i].B].Node, -current);
        }
        for (var i = 0; i < _t.LinearStamps.Length; i++)
        {
            Count(
                _t.Ports[_t.LinearStamps[i].RowPort].Node,
                _m.Linear[i] * _m.V[_links.LinearColumn[i]]
            );
        }
        foreach (var i in _t.ControlStamps)
        {
            Count(
                _t.Ports[_t.LinearStamps[i].RowPort].Node,
                _m.Linear[i] * _pinOffset[_t.Ports[_t.LinearStamps[i].ColumnPort].Pin]
            );
        }
        foreach (var stamp in _t.ConstantStamps)
        {
            Count(_t.Ports[stamp.RowPort].Node, stamp.Sign * SourceAmps(stamp.Element));
        }
        for (var i = 0; i < _t.Flows.Length; i++)
        {
            Count(_t.Ports[_t.Flows[i].From].Node, _m.Flows[i]);
            Count(_t.Ports[_t.Flows[i].To].Node, -_m.Flows[i]);
        }
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Kind == EditKind.Bridge)
            {
                Count(_edits[i].A, _m.V[_edits[i].Place]);
                Count(_edits[i].B, -_m.V[_edits[i].Place]);
            }
            else if (_edits[i].Kind == EditKind.Injection)
            {
                Count(_edits[i].A, _edits[i].Value);
                Count(_edits[i].B, -_edits[i].Value);
            }
        }
        return Circuit.Circuit.Elements[element].Terminals[0].Node == child ? -leaving : leaving;

        void Count(int node, double current)
        {
            while (node > 0 && node != child)
            {
                node = folding.ParentNode[node];
            }
            if (node == child)
            {
                leaving += current;
            }
        }
    }
}
