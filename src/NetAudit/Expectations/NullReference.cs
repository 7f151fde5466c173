using System.Numerics;

namespace NetAudit.Expectations;

/// <summary>
/// The phase that gives a level near a null a sign. Where two halves of a circuit cancel, healthy units lie on either side of the null:
/// the level without its sign is no smooth function of the spreads, the level along the direction in which it spreads is.
/// </summary>
internal static class NullReference
{
    /// <summary>A level further from the null than this many standard deviations has a sign that never changes.</summary>
    private const double Far = 3;

    /// <summary>The conjugate phase along which the level is told, or 0 for its own.</summary>
    /// <param name="level">The level.</param>
    /// <param name="slopes">Its derivatives by the columns.</param>
    /// <param name="sigmas">One sigma of each parameter column; columns beyond them do not spread.</param>
    /// <param name="before">What was taken before, so that the sign keeps its meaning; 0 when there was none.</param>
    public static Complex Of(
        Complex level,
        ReadOnlySpan<Complex> slopes,
        ReadOnlySpan<double> sigmas,
        Complex before
    )
    {
        double xx = 0,
            yy = 0,
            xy = 0;
        for (var column = 0; column < sigmas.Length; column++)
        {
            var (x, y) = (
                slopes[column].Real * sigmas[column],
                slopes[column].Imaginary * sigmas[column]
            );
            xx += x * x;
            yy += y * y;
            xy += x * y;
        }
        // Variance along the longer axis of the ellipse of spread.
        var half = (xx - yy) / 2;
        var variance = (xx + yy) / 2 + Math.Sqrt(half * half + xy * xy);
        var magnitude = level.Magnitude;
        if (variance == 0 || magnitude * magnitude > Far * Far * variance)
        {
            return Complex.Zero;
        }
        var reference = Complex.FromPolarCoordinates(1, -0.5 * Math.Atan2(xy, half));
        var orientation =
            before != Complex.Zero
                ? (Complex.Conjugate(before) * reference).Real
                : (reference * level).Real;
        return orientation < 0 ? -reference : reference;
    }
}
