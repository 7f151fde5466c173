using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Evidence;

/// <summary>The readings to be explained, with the errors that are theirs alone.</summary>
internal sealed class ReadingEvidence
{
    /// <summary>
    /// Probabilities that a reading is a slip (common practice, no source): the decimal point or the sign, which can be recognised, and
    /// anything else, such as the wrong pin.
    /// </summary>
    private const double RecognisedSlip = 1e-3;
    private const double OtherSlip = 1e-4;

    /// <summary>How near a decimal or sign slip must come to the prediction, as a fraction of it.</summary>
    private const double SlipWindow = 0.1;

    public ReadingEvidence(double[] measured, Meter meter)
    {
        Measured = measured;
        Own = [.. measured.Select(meter.OwnSigma)];
        GainSigma = meter.GainSigma();
        // A slip may show anything that stands somewhere in the circuit.
        SlipSigma = Math.Max(10, measured.Select(Math.Abs).DefaultIfEmpty(0).Max());
    }

    /// <summary>Measured volts.</summary>
    public double[] Measured { get; }

    /// <summary>One sigma of each reading's own error, volts.</summary>
    public double[] Own { get; }

    /// <summary>One sigma of the meter's gain error, a fraction.</summary>
    public double GainSigma { get; }

    /// <summary>One sigma of a slip, volts.</summary>
    public double SlipSigma { get; }

    /// <summary>Log odds that these readings are slips.</summary>
    /// <param name="slips">The readings, by index.</param>
    /// <param name="predicted">What each reading should be, volts.</param>
    public double LogSlipOdds(ImmutableArray<int> slips, ReadOnlySpan<double> predicted)
    {
        var sum = 0.0;
        foreach (var slip in slips)
        {
            sum += Math.Log(
                IsRecognised(Measured[slip], predicted[slip]) ? RecognisedSlip : OtherSlip
            );
        }
        return sum;
    }

    private static bool IsRecognised(double measured, double predicted) =>
        Near(measured, 10 * predicted)
        || Near(measured, predicted / 10)
        || Near(measured, -predicted);

    private static bool Near(double measured, double slipped) =>
        Math.Abs(measured - slipped) < SlipWindow * Math.Abs(slipped);
}
