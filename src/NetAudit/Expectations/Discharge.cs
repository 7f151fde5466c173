using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Expectations;

/// <summary>How a supply capacitor loses its charge once the plug is out.</summary>
/// <param name="Part">Part name.</param>
/// <param name="Volts">Volts across it in normal operation, without sign.</param>
/// <param name="Seconds">Until it is below 50 V; 0 when it never is above; null when a day does not suffice.</param>
/// <param name="WithoutBleeder">The same with every bleeder open; null when a day does not suffice.</param>
/// <param name="Bleeders">Names of the resistors that bleed the supply's capacitors; without any the two times are the same.</param>
public sealed record Discharge(
    string Part,
    double Volts,
    double? Seconds,
    double? WithoutBleeder,
    ImmutableArray<string> Bleeders
)
{
    /// <summary>Below this a stored voltage is commonly taken as safe to work at (common practice, no source).</summary>
    public const double SafeVolts = 50;

    /// <summary>
    /// Every capacitor of the supplies that stands above 50 V, in netlist order; empty when there are none or the circuit has no operating
    /// point. Rectifiers do not conduct then, tubes are cold, and what discharges is every resistance that is really there.
    /// </summary>
    public static ImmutableArray<Discharge> Of(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    ) => DischargeRun.Of(amplifier, cancellationToken);
}
