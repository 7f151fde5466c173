using System.Collections.Immutable;
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

    /// <summary>A slip in a level or a resistance may be off by decades: one sigma on the scale of ratios.</summary>
    private const double SlipRatio = 4;

    private readonly ImmutableArray<Row> _rows;

    /// <param name="readings">The readings.</param>
    /// <param name="healthyLogOdds">Log odds that a complaint brings against the healthy unit.</param>
    public ReadingEvidence(ImmutableArray<WeighedReading> readings, double healthyLogOdds)
    {
        _rows = [.. readings.Select(r => r.Row)];
        Measured = [.. readings.Select(r => r.Place)];
        Own = [.. readings.Select(r => r.OwnSigma)];
        HealthyLogOdds = healthyLogOdds;
        // A slip may show anything that stands somewhere in the circuit.
        var volts = readings
            .Where(r => r.Row.Kind == ReadingKind.Dc)
            .Select(r => Math.Abs(r.Place));
        var dcSlip = Math.Max(10, volts.DefaultIfEmpty(0).Max());
        SlipSigma = [.. _rows.Select(row => row.Kind == ReadingKind.Dc ? dcSlip : SlipRatio)];
    }

    /// <summary>Log odds that a complaint brings against the healthy unit.</summary>
    public double HealthyLogOdds { get; }

    /// <summary>Measured values, each on the scale of its kind.</summary>
    public double[] Measured { get; }

    /// <summary>One sigma of each reading's own error.</summary>
    public double[] Own { get; }

    /// <summary>One sigma of a slip, for each reading.</summary>
    public double[] SlipSigma { get; }

    /// <summary>Log odds that these readings are slips.</summary>
    /// <param name="slips">The readings, by index.</param>
    /// <param name="predicted">What each reading should be.</param>
    public double LogSlipOdds(ImmutableArray<int> slips, ReadOnlySpan<double> predicted)
    {
        var sum = 0.0;
        foreach (var slip in slips)
        {
            var recognised = IsRecognised(
                RowScale.Value(_rows[slip], Measured[slip]),
                RowScale.Value(_rows[slip], predicted[slip])
            );
            sum += Math.Log(recognised ? RecognisedSlip : OtherSlip);
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
