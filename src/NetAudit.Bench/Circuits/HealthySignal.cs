using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations.Levels;

namespace NetAudit.Bench.Circuits;

/// <summary>What the sheet's test signal does in a healthy unit.</summary>
/// <param name="Levels">Its level along the path; null when there is none.</param>
/// <param name="Response">Gain over frequency from the source to the load; null when there is none.</param>
/// <param name="NoLevels">Why there are no levels, or null.</param>
/// <param name="NoResponse">Why there is no response, or null.</param>
public sealed record HealthySignal(
    SignalLevels? Levels,
    FrequencyResponse? Response,
    Diagnostic? NoLevels,
    Diagnostic? NoResponse
)
{
    /// <summary>Follows the signal.</summary>
    public static HealthySignal Of(Amplifier amplifier)
    {
        var (levels, noLevels) = SignalLevels.Of(amplifier);
        var (response, noResponse) = FrequencyResponse.Of(amplifier);
        return new(levels, response, noLevels, noResponse);
    }

    /// <summary>Level at a node, volts RMS as a meter shows it; null when it is no point.</summary>
    public double? At(int node) =>
        Levels?.Points.FirstOrDefault(level => level.Point.Node == node)?.Volts;
}
