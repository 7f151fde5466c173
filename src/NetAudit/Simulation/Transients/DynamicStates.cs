using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation.Transients;

/// <summary>
/// What a circuit remembers: charges of capacitances and semiconductor junctions, fluxes of inductors, each with its derivative (current,
/// voltage). One array each: capacitances, then junctions, then inductors, in the topology's order.
/// </summary>
internal sealed class DynamicStates(int count)
{
    /// <summary>Coulombs; volt-seconds.</summary>
    public double[] Charge { get; } = new double[count];

    /// <summary>Amperes; volts.</summary>
    public double[] Current { get; } = new double[count];

    public void CopyFrom(DynamicStates other)
    {
        other.Charge.AsSpan().CopyTo(Charge);
        other.Current.AsSpan().CopyTo(Current);
    }

    public static int CountOf(Topology t) =>
        t.Capacitances.Length + t.ChargeCount + t.Inductances.Length;
}
