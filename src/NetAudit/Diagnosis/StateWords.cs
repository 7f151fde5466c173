using NetAudit.Diagnosis.Observations;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>Weighed readings in words: what was read, and what was to be expected, each as its kind is written. Thread-safe.</summary>
public static class StateWords
{
    /// <summary>Where it was taken: place, kind, condition.</summary>
    public static string Place(this ReadingState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return ReadingWords.Place(state.Reading);
    }

    /// <summary>What was read, with its unit; an observation's word.</summary>
    public static string Measured(this ReadingState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return ReadingWords.Measured(state.Reading);
    }

    /// <summary>Any value of this reading with its unit, or the word for it.</summary>
    /// <param name="state">The reading.</param>
    /// <param name="value">Volts or ohms.</param>
    public static string Shown(this ReadingState state, double value)
    {
        ArgumentNullException.ThrowIfNull(state);
        return Heard(state, value) ?? ReadingWords.Value(state.Reading.Kind, value);
    }

    /// <summary>The same beside a value that has its unit: volts DC go without.</summary>
    /// <param name="state">The reading.</param>
    /// <param name="value">Volts or ohms.</param>
    public static string Bare(this ReadingState state, double value)
    {
        ArgumentNullException.ThrowIfNull(state);
        return Heard(state, value) ?? ReadingWords.Bare(state.Reading.Kind, value);
    }

    /// <summary>What a healthy unit reads: <c>57.71 (52.54 to 62.88)</c>, or a word.</summary>
    public static string Limits(this ReadingState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        var (low, high) = (state.Bare(state.Low), state.Bare(state.High));
        var expected = state.Bare(state.Expected);
        return state.Reading.IsMeasured || low != expected || high != expected
            ? $"{expected} ({low} to {high})"
            : expected;
    }

    private static string? Heard(ReadingState state, double volts) =>
        state.Reading.IsMeasured ? null : HeardLevels.WordOf(volts, state.Row.LevelFloor);
}
