using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>Figures that follow from a reading's state.</summary>
internal static class ReadingStates
{
    /// <summary>One standard deviation of the reading over healthy units, volts.</summary>
    public static double Sigma(this ReadingState state) =>
        (state.High - state.Expected) / ExpectedReading.Limits95;
}
