using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>Figures that follow from a reading's state.</summary>
internal static class ReadingStates
{
    /// <summary>How far two values of a reading are apart, in standard deviations of a healthy unit.</summary>
    public static double Distance(this ReadingState state, double first, double second)
    {
        var kind = state.Reading.Kind;
        var sigma =
            (RowScale.Of(kind, state.High) - RowScale.Of(kind, state.Expected))
            / ExpectedReading.Limits95;
        return Math.Abs(RowScale.Of(kind, first) - RowScale.Of(kind, second)) / sigma;
    }
}
