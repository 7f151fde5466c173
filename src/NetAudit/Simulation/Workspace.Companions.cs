using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation;

// Capacitors and inductors of a dynamic topology, as an integration rule sees them within one step of time: a capacitor is a conductance
// beside a current, an inductor a resistance in series with a voltage. All zero is the circuit at DC.
public sealed unsafe partial class Workspace
{
    private readonly double[] _capacitorSiemens;
    private readonly double[] _capacitorAmps;
    private readonly double[] _inductorOhms;
    private readonly double[] _inductorVolts;
    private readonly double[] _mutualOhms;

    /// <summary>A workspace on the circuit's dynamic topology.</summary>
    internal static Workspace ForDynamics(CompiledCircuit circuit) =>
        new(circuit, circuit.DynamicTopology, circuit.DynamicPlan);

    /// <summary>
    /// By <see cref="Topology.Capacitances"/>: the current from A to B is siemens (vA - vB) + amps. After a change of siemens call
    /// <see cref="CompanionsChanged"/>; amps may change freely.
    /// </summary>
    internal Span<double> CapacitorSiemens => _capacitorSiemens;

    internal Span<double> CapacitorAmps => _capacitorAmps;

    /// <summary>
    /// By <see cref="Topology.Inductances"/>: vA - vB = ohms i - volts + the sum of mutual ohms times the other inductors' currents. After
    /// a change of ohms call <see cref="CompanionsChanged"/>; volts may change freely.
    /// </summary>
    internal Span<double> InductorOhms => _inductorOhms;

    internal Span<double> InductorVolts => _inductorVolts;

    /// <summary>By <see cref="Topology.MutualInductances"/>.</summary>
    internal Span<double> MutualOhms => _mutualOhms;

    /// <summary>Volts across a capacitance at the point last solved.</summary>
    internal double CapacitorVolts(int capacitance)
    {
        var at = _links.Capacitances.AsSpan(8 * capacitance, 2);
        return _m.V[at[0]] - _m.V[at[1]];
    }

    /// <summary>Amperes through an inductance at the point last solved.</summary>
    internal double InductorAmps(int inductance) =>
        _m.V[_t.BranchOf[_t.Inductances[inductance].Element]];

    internal void CompanionsChanged() => _stale = true;

    /// <summary>
    /// Takes over another workspace's parameters and edits. Both belong to the same circuit; the other may be on its DC topology.
    /// </summary>
    internal void MatchCircuit(Workspace other)
    {
        Restore();
        for (var i = 0; i < _parameters.Length; i++)
        {
            if (other._parameters[i] != _parameters[i])
            {
                Set(i, other._parameters[i]);
            }
        }
        for (var i = 0; i < other._editCount; i++)
        {
            ref var edit = ref other._edits[i];
            switch (edit.Kind)
            {
                case EditKind.Bridge:
                    Bridge(edit.A, edit.B, edit.Value);
                    break;
                case EditKind.Injection:
                    Inject(edit.A, edit.B, edit.Value);
                    break;
                default:
                    Break(edit.B, edit.Value);
                    break;
            }
        }
    }

    private void StampCompanions(double* values)
    {
        for (var i = 0; i < _capacitorSiemens.Length; i++)
        {
            var g = _capacitorSiemens[i];
            var at = _links.Capacitances.AsSpan(8 * i, 8);
            values[at[4]] += g;
            values[at[5]] -= g;
            values[at[6]] -= g;
            values[at[7]] += g;
        }
        for (var i = 0; i < _inductorOhms.Length; i++)
        {
            values[_links.InductanceSlot[i]] -= _inductorOhms[i];
        }
        for (var i = 0; i < _mutualOhms.Length; i++)
        {
            values[_links.MutualSlots[2 * i]] -= _mutualOhms[i];
            values[_links.MutualSlots[2 * i + 1]] -= _mutualOhms[i];
        }
    }

    private void EvaluateCompanions(double* v, double* f)
    {
        for (var i = 0; i < _capacitorSiemens.Length; i++)
        {
            var at = _links.Capacitances.AsSpan(8 * i, 4);
            var current = _capacitorSiemens[i] * (v[at[0]] - v[at[1]]) + _capacitorAmps[i];
            f[at[2]] += current;
            f[at[3]] -= current;
        }
        for (var i = 0; i < _inductorOhms.Length; i++)
        {
            var branch = InductorBranch(i);
            f[branch] += _inductorVolts[i] - _inductorOhms[i] * v[branch];
        }
        for (var i = 0; i < _mutualOhms.Length; i++)
        {
            ref readonly var mutual = ref _t.MutualInductances[i];
            var (first, second) = (InductorBranch(mutual.First), InductorBranch(mutual.Second));
            f[first] -= _mutualOhms[i] * v[second];
            f[second] -= _mutualOhms[i] * v[first];
        }
    }

    private int InductorBranch(int inductance) => _t.BranchOf[_t.Inductances[inductance].Element];
}
