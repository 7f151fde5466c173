using NetAudit.Circuits;
using NetAudit.Expectations.Levels;

namespace NetAudit.Bench.Circuits;

/// <summary>What the sheet's test signal does in a healthy unit.</summary>
/// <param name="Levels">Its level along the path; null when there is none.</param>
/// <param name="Response">Gain over frequency from the source to the load; null likewise.</param>
/// <param name="Reason">Why not, or null.</param>
public sealed record HealthySignal(
    SignalLevels? Levels,
    FrequencyResponse? Response,
    string? Reason
)
{
    /// <summary>Follows the signal.</summary>
    public static HealthySignal Of(Amplifier amplifier)
    {
        var (levels, reason) = SignalLevels.Of(amplifier);
        return new(levels, FrequencyResponse.Of(amplifier).Response, reason);
    }

    /// <summary>Level at a node, volts RMS as a meter shows it; null when it is no point.</summary>
    public double? At(int node) =>
        Levels?.Points.FirstOrDefault(level => level.Point.Node == node)?.Volts;
}
