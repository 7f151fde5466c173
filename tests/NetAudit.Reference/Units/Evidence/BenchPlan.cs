using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Circuits;

namespace NetAudit.Reference.Units.Evidence;

/// <summary>What is read of one unit: a kind of reading, in a condition, at a list of nodes.</summary>
/// <param name="Kind"><c>dc</c>, <c>ac</c> or <c>ohms</c>.</param>
/// <param name="Condition">The condition.</param>
/// <param name="Nodes">The nodes.</param>
internal sealed record BenchRound(string Kind, BenchCondition Condition, ImmutableArray<int> Nodes);

/// <summary>The rounds that a thorough bench session makes.</summary>
internal static class BenchPlan
{
    private static readonly CultureInfo Invariant = CultureInfo.InvariantCulture;

    private const double LowMainsVolts = 85;

    /// <summary>The most that a generator gives, volts RMS.</summary>
    private const double MostVolts = 5;

    /// <summary>DC and levels everywhere, resistances everywhere, and a few volts in other conditions.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="nodes">Every node that a probe can reach.</param>
    /// <param name="evidence"><c>dc</c>, <c>ac</c> (with DC), <c>ohms</c> (with DC) or <c>all</c>.</param>
    /// <param name="levels">Volts RMS of the test signal that a healthy unit has at those nodes; empty when the sheet names none.</param>
    /// <param name="random">Chooses where the signal is fed in and which tube is swapped.</param>
    public static ImmutableArray<BenchRound> Of(
        Amplifier amplifier,
        ImmutableArray<int> nodes,
        string evidence,
        IReadOnlyList<double> levels,
        Random random
    )
    {
        var conditions = new BenchConditions(amplifier);
        var rounds = new List<BenchRound> { new("dc", conditions.Normal, nodes) };
        var signal = amplifier.Sheet.Signal;
        if (evidence is "ac" or "all" && signal is not null)
        {
            rounds.Add(new("ac", conditions.Normal, nodes));
        }
        if (evidence is "ohms" or "all")
        {
            rounds.Add(new("ohms", conditions.Off(), nodes));
        }
        if (evidence == "all")
        {
            // A rail or two and a few more: what a hand does after the first round.
            ImmutableArray<int> few = [.. nodes.Where((_, i) => i % 4 == 0)];
            if (conditions.Switched("standby") is { } standby)
            {
                rounds.Add(new("dc", standby, few));
            }
            if (amplifier.Sheet.Mains.Nominal > LowMainsVolts)
            {
                rounds.Add(new("dc", conditions.Mains(LowMainsVolts, random), few));
            }
            Part[] tubes = [.. amplifier.Parts.Where(p => p.Class == PartClass.Tube)];
            if (tubes.Length > 0)
            {
                rounds.Add(new("dc", conditions.Swapped(random.Of(tubes)), few));
            }
            if (signal is not null)
            {
                // As much as should stand there, and no less than at the input.
                var at = random.Next(nodes.Length);
                var volts = Math.Clamp(levels[at], signal.Level, MostVolts);
                var round = double.Parse(volts.ToString("G2", Invariant), Invariant);
                rounds.Add(new("ac", conditions.Injected(nodes[at], round), few));
            }
        }
        return [.. rounds];
    }
}
