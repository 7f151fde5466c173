using NetAudit.Circuits.Sheets;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Evidence;

/// <summary>The readings to be explained, with the errors that are theirs alone.</summary>
internal sealed class ReadingEvidence
{
    /// <summary>Probability that a reading is a slip: wrong pin, decimal point, sign (common practice, no source).</summary>
    private const double SlipProbability = 0.001;

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

    /// <summary>Log odds of one reading being a slip.</summary>
    public double LogSlip { get; } = Math.Log(SlipProbability / (1 - SlipProbability));
}
