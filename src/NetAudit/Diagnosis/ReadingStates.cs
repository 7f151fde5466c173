using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>Figures that follow from a reading's state. Thread-safe.</summary>
public static class ReadingStates
{
    /// <summary>How far two values of a reading are apart, in standard deviations of a healthy unit.</summary>
    internal static double Distance(this ReadingState state, double first, double second) =>
        Math.Abs(RowScale.Of(state.Row, first) - RowScale.Of(state.Row, second)) / state.Sigma;

    /// <summary>How far what was read is from a value, in standard deviations of a healthy unit.</summary>
    public static double DistanceTo(this ReadingState state, double value)
    {
        ArgumentNullException.ThrowIfNull(state);
        return Math.Abs(state.Place - RowScale.Of(state.Row, value)) / state.Sigma;
    }
}
