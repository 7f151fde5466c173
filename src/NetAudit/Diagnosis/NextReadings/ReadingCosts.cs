using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>What readings cost in effort and hazard: <c>Data/reading-costs.csv</c>. Thread-safe.</summary>
internal static class ReadingCosts
{
    /// <summary>From this a voltage counts as hazardous to a hand: 60 V DC, IEC 62368-1 energy class 1 (from memory).</summary>
    public const double HighVolts = 60;

    private const double VeryHighVolts = 400;

    private static readonly ImmutableDictionary<string, double> Costs = EmbeddedTable
        .Read("reading-costs.csv")
        .ToImmutableDictionary(
            row => row["what"],
            row => double.Parse(row["cost"], CultureInfo.InvariantCulture)
        );

    /// <summary>Cost of a reading.</summary>
    /// <param name="kind">Its kind.</param>
    /// <param name="condition">Its condition.</param>
    /// <param name="last">Condition of the reading before it.</param>
    /// <param name="volts">Most volts against chassis that the probes touch.</param>
    public static double Of(ReadingKind kind, Condition condition, Condition last, double volts)
    {
        var cost = Costs[kind.Name()];
        cost += Math.Abs(volts) switch
        {
            >= VeryHighVolts => Costs["very-high-voltage"],
            >= HighVolts => Costs["high-voltage"],
            _ => Costs["low-voltage"],
        };
        var (isOff, wasOff) = (condition.IsOff, last.IsOff);
        if (isOff != wasOff)
        {
            cost += Costs[isOff ? "power-off" : "power-on"];
        }
        foreach (var term in condition.Terms.Except(last.Terms))
        {
            cost += term switch
            {
                TubeSwapped or TubePulled => Costs["swap"],
                SignalInjected => Costs["inject"],
                _ => 0,
            };
        }
        return cost;
    }
}
