using System.Collections.Immutable;

namespace NetAudit.Diagnosis.Search;

/// <summary>How well a fault set explains the readings, at its most probable values.</summary>
internal sealed record Evaluation
{
    /// <summary>The set.</summary>
    public required FaultSet Set { get; init; }

    /// <summary>Values of the members, in the order of the set.</summary>
    public required ImmutableArray<double> Values { get; init; }

    /// <summary>False when the circuit with these faults has no operating point that the solver could find: then nothing is known of its likelihood.</summary>
    public required bool Converged { get; init; }

    /// <summary>
    /// Log of the probability of set and readings, up to a constant common to all sets; free values integrated out. Minus infinity where
    /// it is unknown, so that nothing unknown stands before something known.
    /// </summary>
    public double LogPosterior { get; init; } = double.NegativeInfinity;

    /// <summary>
    /// Whether that is only what derivatives promise from the first point, where the circuit settles no more on the way: a place to search
    /// from, but no evidence.
    /// </summary>
    public bool IsPromise { get; init; }

    /// <summary>What the readings say of the set, its prior left out; up to the same constant.</summary>
    public double LogLikelihood => LogPosterior - Set.LogPrior;

    /// <summary>Squared Mahalanobis length of the residual.</summary>
    public double Quadratic { get; init; }

    /// <summary>Readings taken as slips of the person or the meter, by index.</summary>
    public ImmutableArray<int> Slips { get; init; } = [];

    /// <summary>Predicted readings at the most probable values and spreads, [readings].</summary>
    public ImmutableArray<double> Predicted { get; init; } = [];

    /// <summary>Most probable spread amounts, in standard deviations.</summary>
    public ImmutableArray<double> Amounts { get; init; } = [];

    /// <summary>Node volts there, to start related solves from.</summary>
    public ImmutableArray<double> Volts { get; init; } = [];

    /// <summary>The evaluation of a set whose circuit did not settle.</summary>
    public static Evaluation Unknown(FaultSet set, ReadOnlySpan<double> values) =>
        new()
        {
            Set = set,
            Values = [.. values],
            Converged = false,
        };
}
