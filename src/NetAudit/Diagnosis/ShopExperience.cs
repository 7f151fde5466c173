using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Diagnosis;

/// <summary>
/// Causes that a shop confirmed in units of one model, by class of the part. They count beside the table of failure rates as draws from a
/// Dirichlet distribution over the classes: with shares p of the table and n causes of a class among N, a class has the share
/// (K p + n) / (K + N).
/// </summary>
/// <param name="Model">The model.</param>
/// <param name="Causes">Confirmed causes by class of the part.</param>
public sealed record ShopExperience(string Model, ImmutableSortedDictionary<PartClass, int> Causes)
{
    /// <summary>K: the table counts as much as this many closed jobs (common practice, no source).</summary>
    public const double JobsOfTheTable = 20;

    /// <summary>Confirmed causes of all classes.</summary>
    public int Total { get; } = Causes.Values.Sum();

    /// <summary>The share of a class with the shop's experience.</summary>
    /// <param name="partClass">The class.</param>
    /// <param name="share">Its share of all faults by the table, 0 to 1.</param>
    public double Share(PartClass partClass, double share) =>
        (JobsOfTheTable * share + Causes.GetValueOrDefault(partClass)) / (JobsOfTheTable + Total);

    /// <summary>What was learnt, in one sentence.</summary>
    public string Sentence() =>
        $"The shop's own closed jobs of {Model} count: "
        + string.Join(
            ", ",
            Causes
                .Where(pair => pair.Value > 0)
                .OrderByDescending(pair => pair.Value)
                .Select(pair => $"{Figures.Count(pair.Value, "cause")} a {pair.Key.Describe()}")
        )
        + $". The table of failure rates counts as {JobsOfTheTable:0} jobs beside them.";
}
