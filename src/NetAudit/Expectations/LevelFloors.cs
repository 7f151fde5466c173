using System.Numerics.Tensors;

namespace NetAudit.Expectations;

/// <summary>Where the scale of a level turns from ratios to volts.</summary>
internal static class LevelFloors
{
    /// <summary>
    /// A level within three standard deviations of a null is told in volts, not by ratio: its scale bends only beyond so many of them.
    /// </summary>
    private const double FloorSigmas = 3;

    /// <summary>The floor that suits what healthy units read, volts RMS.</summary>
    /// <param name="predictor">The healthy unit, differentiated.</param>
    /// <param name="reading">The level.</param>
    public static double Of(Predictor predictor, int reading)
    {
        if (!predictor.IsSigned(reading))
        {
            return RowScale.NoiseFloor;
        }
        var row = predictor.Rows[reading];
        var slopes = predictor.Jacobian.AsSpan(reading * predictor.Width, predictor.Width);
        var sigma = Math.Sqrt(TensorPrimitives.SumOfSquares<double>(slopes));
        var volts = sigma / RowScale.Slope(row, RowScale.Value(row, predictor.Mean[reading]));
        return Math.Max(RowScale.NoiseFloor, FloorSigmas * volts);
    }
}
