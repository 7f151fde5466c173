using System.Runtime.CompilerServices;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

// How the solution of a stage moves with the histories of its states, for eight directions at once.
public sealed unsafe partial class Workspace
{
    /// <summary>
    /// moved = d(solution) for d(histories), with the factors of the stage last solved. Junction charges count in the direction of their
    /// flow. Scratch holds <c>IndexCount</c> entries, moved as many, histories one a state.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    internal void FollowHistories(Lanes* histories, Lanes* scratch, Lanes* moved)
    {
        ReserveLanes();
        new Span<Lanes>(scratch, _t.IndexCount).Clear();
        var capacitors = _t.Capacitances.Length;
        for (var i = 0; i < capacitors; i++)
        {
            scratch[_links.Capacitances[8 * i + 2]] -= histories[i];
            scratch[_links.Capacitances[8 * i + 3]] += histories[i];
        }
        foreach (var instance in _t.Semiconductors)
        {
            for (var k = 0; k < instance.Device.ChargeCount; k++)
            {
                var history = histories[capacitors + instance.FirstCharge + k];
                scratch[_links.FlowRows[2 * (instance.FirstFlow + k)]] -= history;
                scratch[_links.FlowRows[2 * (instance.FirstFlow + k) + 1]] += history;
            }
        }
        var firstInductor = capacitors + _t.ChargeCount;
        for (var i = 0; i < _t.Inductances.Length; i++)
        {
            scratch[InductorBranch(i)] += histories[firstInductor + i];
        }
        new Span<Lanes>(moved, _t.IndexCount).Clear();
        SolveLinear(scratch, moved);
    }

    /// <summary>charges = d(charges and fluxes) for d(solution), at the stage last solved.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    internal void FollowCharges(Lanes* moved, Lanes* charges)
    {
        var capacitors = _t.Capacitances.Length;
        for (var i = 0; i < capacitors; i++)
        {
            var farads = _elementValue[_t.Capacitances[i].Element];
            charges[i] =
                (moved[_links.Capacitances[8 * i]] - moved[_links.Capacitances[8 * i + 1]])
                * farads;
        }
        foreach (var instance in _t.Semiconductors)
        {
            for (var k = 0; k < instance.Device.ChargeCount; k++)
            {
                var flow = _t.Flows[instance.FirstFlow + k];
                var at = instance.FirstCharge + k;
                charges[capacitors + at] =
                    (moved[_links.PortColumn[flow.From]] - moved[_links.PortColumn[flow.To]])
                    * _m.ChargeCapacitances[at];
            }
        }
        var fluxes = charges + capacitors + _t.ChargeCount;
        for (var i = 0; i < _t.Inductances.Length; i++)
        {
            fluxes[i] = moved[InductorBranch(i)] * _elementValue[_t.Inductances[i].Element];
        }
        for (var i = 0; i < _t.MutualInductances.Length; i++)
        {
            var (first, second, _) = _t.MutualInductances[i];
            var henries = MutualHenries(i);
            fluxes[first] += moved[InductorBranch(second)] * henries;
            fluxes[second] += moved[InductorBranch(first)] * henries;
        }
    }
}
