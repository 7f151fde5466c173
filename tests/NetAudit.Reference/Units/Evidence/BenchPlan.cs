using System.Collections.Immutable;
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
    private const double LowMainsVolts = 85;

    /// <summary>DC and levels everywhere, resistances everywhere, and a few volts in other conditions.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="nodes">Every node that a probe can reach.</param>
    /// <param name="evidence"><c>dc</c>, <c>ac</c> (with DC), <c>ohms</c> (with DC) or <c>all</c>.</param>
    /// <param name="random">Chooses where the signal is fed in and which tube is swapped.</param>
    public static ImmutableArray<BenchRound> Of(
        Amplifier amplifier,
        ImmutableArray<int> nodes,
        string evidence,
        Random random
    )
    {
        var conditions = new BenchConditions(amplifier);
        var rounds = new List<BenchRound> { new("dc", conditions.Normal, nodes) };
        var hasSignal = amplifier.Sheet.Signal is not null;
        if (evidence is "ac" or "all" && hasSignal)
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
            if (hasSignal)
            {
                rounds.Add(new("ac", conditions.Injected(random.Of(nodes)), few));
            }
        }
        return [.. rounds];
    }
}
