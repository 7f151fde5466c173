using System.Globalization;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>What to mind at one reading.</summary>
internal static class ReadingCautions
{
    /// <param name="candidate">The reading.</param>
    /// <param name="volts">Most volts against chassis that may be touched.</param>
    /// <param name="blowsFuses">Whether the unit is known to blow fuses: on whatever mains, it is brought up on a limiter.</param>
    public static string Of(ReadingCandidate candidate, double volts, bool blowsFuses)
    {
        if (candidate.Scene.IsOff)
        {
            return "Pull the plug, discharge the capacitors, and measure that they are below 50 V before the meter is set to ohms.";
        }
        if (candidate.Scene.Condition.Terms.Any(term => term is TubeSwapped or TubePulled))
        {
            return "Power off and let the tube cool before you pull it; high voltage stays at the socket until the capacitors are discharged.";
        }
        var limiter = blowsFuses
            ? "Bring it up on a current limiter and an isolation transformer, fuses as rated, and switch off when it draws more than such a unit should. "
            : "";
        var feed = candidate.Scene.Condition.Terms.Any(term => term is SignalInjected)
            ? "Feed the signal in through a capacitor rated for the voltage there, clipped on with the power off. "
            : "";
        if (volts < ReadingCosts.HighVolts)
        {
            return limiter
                + feed
                + "Live chassis: one hand, probe insulated to its tip; a fault may put high voltage here too.";
        }
        var most = volts.ToString("0", CultureInfo.InvariantCulture);
        return limiter
            + feed
            + $"Up to about {most} V against chassis: one hand in the pocket, the common lead clipped on with the power off, probe and meter rated for it.";
    }
}
