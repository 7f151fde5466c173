using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>What kind of slip a questionable reading looks like. Thread-safe.</summary>
public static class ReadingSlips
{
    /// <summary>A value this many standard deviations from a prediction still looks like it.</summary>
    private const double Near = 3;

    /// <summary>Powers of ten by which a decimal point or a range is commonly misread.</summary>
    private static readonly double[] Shifts = [10, 0.1, 100, 0.01, 1000, 0.001];

    /// <summary>
    /// In words what the reading looks like, given what the leading suspect (or a healthy unit, when there is none) predicts for every
    /// reading; null when it looks like no common slip.
    /// </summary>
    /// <param name="result">The answer.</param>
    /// <param name="reading">Index in <see cref="DiagnosisResult.Readings"/>.</param>
    public static string? Describe(DiagnosisResult result, int reading)
    {
        var state = result.Readings[reading];
        var measured = state.Reading.Value;
        double Predicted(int i) =>
            result.Verdict != Verdict.WithinLimits && result.Suspects is [var leading, ..]
                ? leading.Predicted[i]
                : result.Readings[i].Expected;

        bool LooksLike(double volts, int i) =>
            result.Readings[i].Distance(volts, Predicted(i)) <= Near;

        foreach (var shift in Shifts)
        {
            if (double.IsFinite(measured) && LooksLike(measured * shift, reading))
            {
                return $"looks like {state.Shown(measured * shift)} with the decimal point or the range misread";
            }
        }
        if (state.Reading.Kind == ReadingKind.Dc && LooksLike(-measured, reading))
        {
            return $"looks like {state.Shown(-measured)} with the sign lost";
        }
        var other = Enumerable
            .Range(0, result.Readings.Length)
            .Where(i => IsLike(result.Readings[i].Reading, state.Reading))
            .Where(i => LooksLike(measured, i))
            .OrderBy(i => Math.Abs(measured - Predicted(i)))
            .Select(i => (int?)i)
            .FirstOrDefault();
        return other is { } at
            ? $"looks like the {Quantity(state.Reading)} of {result.Readings[at].Reading.At}: was the probe on the wrong pin?"
            : null;
    }

    // Another place, read in the same way.
    private static bool IsLike(Reading other, Reading reading) =>
        other.Node != reading.Node
        && other.Kind == reading.Kind
        && other.Condition.Equals(reading.Condition);

    private static string Quantity(Reading reading) =>
        reading.Kind switch
        {
            ReadingKind.Ac => "level",
            ReadingKind.Ohms => "resistance",
            _ => "voltage",
        };
}
