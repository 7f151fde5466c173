using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;

namespace NetAudit.Diagnosis.Search;

/// <summary>Foretells what each fault more would gain for the set that the evaluator has just evaluated.</summary>
/// <param name="evaluator">Evaluates sets.</param>
/// <param name="screen">Foretells by derivatives.</param>
/// <param name="known">What single faults are known to do.</param>
/// <param name="classes">The catalogue.</param>
internal sealed class Forecast(
    SetEvaluator evaluator,
    ExtensionScreen screen,
    KnownEffects known,
    ImmutableArray<FaultClass> classes
)
{
    private readonly double[] _gains = new double[classes.Length];

    /// <summary>Offers all extensions of that set by its derivatives.</summary>
    /// <param name="foretold">Keeps the best.</param>
    /// <param name="set">The set.</param>
    /// <param name="values">The values it was evaluated at.</param>
    /// <param name="score">Its log posterior there.</param>
    public void ByDerivatives(
        Foretold foretold,
        FaultSet set,
        ImmutableArray<double> values,
        double score
    )
    {
        screen.Score(evaluator, classes.AsSpan(), _gains);
        Offer(foretold, set, values, score);
    }

    /// <summary>Offers them by adding what single faults are known to do.</summary>
    /// <inheritdoc cref="ByDerivatives"/>
    public void ByKnownEffects(
        Foretold foretold,
        FaultSet set,
        ImmutableArray<double> values,
        double score
    )
    {
        known.Score(evaluator);
        Array.Clear(_gains);
        for (var i = 0; i < known.Gains.Length; i++)
        {
            var index = known.Faults[i].Class.Index;
            _gains[index] = Math.Max(_gains[index], known.Gains[i]);
        }
        Offer(foretold, set, values, score);
    }

    private void Offer(Foretold foretold, FaultSet set, ImmutableArray<double> values, double score)
    {
        foreach (var extra in classes)
        {
            var gain = _gains[extra.Index];
            if (gain > 0)
            {
                foretold.Offer(set, values, extra, score + gain + extra.LogWeight);
            }
        }
    }
}
