namespace NetAudit.Simulation;

// One stage of a step in time on a dynamic topology. Whatever stores a charge q (a flux, for inductors) has the current (voltage)
// rate q + history; the states are listed as capacitances, junction charges, inductances.
public sealed unsafe partial class Workspace
{
    private const int MostStageIterations = 40;

    private double _chargeRate;

    /// <summary>Volts and branch amperes by index, at the point last solved; what a stage starts from.</summary>
    internal Span<double> Solution => new(_m.V, _t.IndexCount);

    /// <summary>Changes an independent source for now, and leaves its parameter as it is.</summary>
    internal void SetSourceNow(int element, double value)
    {
        _elementValue[element] = value;
        _parametersChanged = true;
    }

    /// <summary>The value an element has now.</summary>
    internal double ValueNow(int element) => _elementValue[element];

    /// <summary>Volts of a circuit node at the point last solved.</summary>
    internal double VoltsNow(int node) => _m.V[_nodeColumn[node]];

    internal int StateCount => _t.Capacitances.Length + _t.ChargeCount + _t.Inductances.Length;

    /// <summary>Sets rate and histories of a stage. A rate of 0 and no histories is DC.</summary>
    internal void BeginStage(double rate, ReadOnlySpan<double> histories)
    {
        if (_chargeRate != rate)
        {
            _chargeRate = rate;
            _stale = true;
        }
        var capacitors = _t.Capacitances.Length;
        for (var i = 0; i < capacitors; i++)
        {
            _capacitorSiemens[i] = rate * _elementValue[_t.Capacitances[i].Element];
            _capacitorAmps[i] = histories[i];
        }
        for (var i = 0; i < _t.ChargeCount; i++)
        {
            _m.ChargeHistories[i] = histories[capacitors + i];
        }
        var firstInductor = capacitors + _t.ChargeCount;
        for (var i = 0; i < _t.Inductances.Length; i++)
        {
            _inductorOhms[i] = rate * _elementValue[_t.Inductances[i].Element];
            _inductorVolts[i] = -histories[firstInductor + i];
        }
        for (var i = 0; i < _t.MutualInductances.Length; i++)
        {
            _mutualOhms[i] = rate * MutualHenries(i);
        }
    }

    /// <summary>Solves the stage from <see cref="Solution"/>. False when it does not converge.</summary>
    internal bool SolveStage(CancellationToken cancellationToken)
    {
        _iterations = 0;
        _solved = false;
        _readFactored = false;
        _adjointsKnown = false;
        _loadedSolutions.Clear();
        _leftSolution = false;
        _solved = Newton(MostStageIterations, cancellationToken);
        return _solved;
    }

    /// <summary>Newton iterations of the last stage.</summary>
    internal int StageIterations => _iterations;

    /// <summary>Charges and fluxes at the point last solved.</summary>
    internal void ReadCharges(Span<double> charges)
    {
        var capacitors = _t.Capacitances.Length;
        for (var i = 0; i < capacitors; i++)
        {
            charges[i] = _elementValue[_t.Capacitances[i].Element] * CapacitorVolts(i);
        }
        new ReadOnlySpan<double>(_m.Charges, _t.ChargeCount).CopyTo(charges[capacitors..]);
        var fluxes = charges[(capacitors + _t.ChargeCount)..];
        for (var i = 0; i < _t.Inductances.Length; i++)
        {
            fluxes[i] = _elementValue[_t.Inductances[i].Element] * InductorAmps(i);
        }
        for (var i = 0; i < _t.MutualInductances.Length; i++)
        {
            var (first, second, _) = _t.MutualInductances[i];
            var henries = MutualHenries(i);
            fluxes[first] += henries * InductorAmps(second);
            fluxes[second] += henries * InductorAmps(first);
        }
    }

    /// <summary>
    /// By how much errors of the charges and fluxes move the solution: volts and amperes by index, valid until the next solve. Works with
    /// the factors of the last iteration.
    /// </summary>
    internal ReadOnlySpan<double> Propagate(ReadOnlySpan<double> chargeErrors)
    {
        new Span<double>(_m.F, _t.IndexCount).Clear();
        var capacitors = _t.Capacitances.Length;
        for (var i = 0; i < capacitors; i++)
        {
            var amps = _chargeRate * chargeErrors[i];
            _m.F[_links.Capacitances[8 * i + 2]] += amps;
            _m.F[_links.Capacitances[8 * i + 3]] -= amps;
        }
        foreach (var instance in _t.Semiconductors)
        {
            // A stored charge lies beside the flow of the same number.
            for (var k = 0; k < instance.Device.ChargeCount; k++)
            {
                var amps = _chargeRate * chargeErrors[capacitors + instance.FirstCharge + k];
                _m.F[_links.FlowRows[2 * (instance.FirstFlow + k)]] += amps;
                _m.F[_links.FlowRows[2 * (instance.FirstFlow + k) + 1]] -= amps;
            }
        }
        var firstInductor = capacitors + _t.ChargeCount;
        for (var i = 0; i < _t.Inductances.Length; i++)
        {
            _m.F[InductorBranch(i)] -= _chargeRate * chargeErrors[firstInductor + i];
        }
        SolveLinear(_m.F, _m.Step);
        return new(_m.Step, _t.IndexCount);
    }

    /// <summary>Amperes through a capacitance, from its first port to its second, at the point last solved.</summary>
    internal double AmpsThrough(int capacitance) =>
        _capacitorSiemens[capacitance] * CapacitorVolts(capacitance) + _capacitorAmps[capacitance];

    private double MutualHenries(int mutual)
    {
        var (first, second, element) = _t.MutualInductances[mutual];
        var product =
            _elementValue[_t.Inductances[first].Element]
            * _elementValue[_t.Inductances[second].Element];
        var coupling = (Circuits.Coupling)Circuit.Circuit.Elements[element];
        return coupling.Coefficient * Math.Sqrt(product);
    }
}
