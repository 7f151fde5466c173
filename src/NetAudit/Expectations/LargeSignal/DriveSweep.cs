using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>Why a drive level counts as the onset of clipping.</summary>
public enum ClippingSign
{
    /// <summary>Distortion reached <see cref="DriveLimits.ClippingDistortion"/>.</summary>
    Distortion,

    /// <summary>Gain fell by <see cref="DriveLimits.ClippingCompression"/>.</summary>
    Compression,
}

/// <summary>The onset of clipping.</summary>
/// <param name="Point">The amplifier there.</param>
/// <param name="Sign">What showed it first.</param>
/// <param name="Place">Index in the path of the place before which most gain is lost, against the lowest level: what clips.</param>
public sealed record ClippingOnset(DrivePoint Point, ClippingSign Sign, int Place);

/// <summary>An amplifier over a range of drive levels.</summary>
/// <param name="Setup">Source, load, frequency, places; null when there is none.</param>
/// <param name="Points">The levels, rising.</param>
/// <param name="Clipping">The onset of clipping, or null when it lies outside the levels.</param>
/// <param name="Reason">Why there are no points; else null.</param>
public sealed record DriveSweep(
    DriveSetup? Setup,
    ImmutableArray<DrivePoint> Points,
    ClippingOnset? Clipping,
    string? Reason
)
{
    private const double HighestDrive = 100;
    private const double LowestDrive = 1e-6;
    private const int Refinements = 6;

    // Levels above the first that clips.
    private const int LevelsBeyond = 2;

    /// <summary>Drives an amplifier level by level.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="setup">From <see cref="DriveSetup.Find"/>.</param>
    /// <param name="limits">Levels.</param>
    /// <param name="progress">Told the drive level at hand.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static DriveSweep Of(
        Amplifier amplifier,
        DriveSetup setup,
        DriveLimits limits,
        IProgress<double>? progress = null,
        CancellationToken cancellationToken = default
    )
    {
        var workspace = new Workspace(CompiledCircuit.Compile(amplifier.Circuit));
        return workspace.Solve([], cancellationToken).Converged
            ? Of(amplifier, setup, limits, workspace, progress, cancellationToken)
            : new(setup, [], null, Unsettled.Describe(workspace).Message);
    }

    /// <summary>The same with the parameters and edits of a solved workspace: a faulty unit.</summary>
    internal static DriveSweep Of(
        Amplifier amplifier,
        DriveSetup setup,
        DriveLimits limits,
        Workspace operatingPoint,
        IProgress<double>? progress,
        CancellationToken cancellationToken
    )
    {
        var bench = new DriveBench(amplifier, setup, operatingPoint);
        DrivePoint Measure(double level)
        {
            progress?.Report(level);
            return bench.Measure(level, cancellationToken);
        }
        var ratio = Math.Pow(10, 1.0 / Math.Max(1, limits.PerDecade));
        var first = limits.From ?? setup.UsualLevel / 10;
        var points = new List<DrivePoint> { Measure(first) };
        while (limits.From is null && Sign(points[0], points[0]) is not null && first > LowestDrive)
        {
            // Distorted at the lowest level already: the true gain is found further down.
            first /= 10;
            points = [Measure(first)];
        }
        var last = limits.To ?? HighestDrive;
        var beyond = 0;
        for (var step = 1; ; step++)
        {
            // Each level from the first one, so that rounding does not add up.
            var level = first * Math.Pow(ratio, step);
            if (level > last * (1 + 1e-9) || (limits.To is null && beyond > LevelsBeyond))
            {
                break;
            }
            points.Add(Measure(level));
            beyond += beyond > 0 || Sign(points[0], points[^1]) is not null ? 1 : 0;
        }
        return new(setup, [.. points], FindOnset(points, Measure), null);
    }

    // Halves the interval in which clipping begins, in decibels.
    private static ClippingOnset? FindOnset(
        List<DrivePoint> points,
        Func<double, DrivePoint> measure
    )
    {
        var at = points.FindIndex(point => Sign(points[0], point) is not null);
        if (at < 1)
        {
            return null;
        }
        var (clean, clipped) = (points[at - 1], points[at]);
        for (var i = 0; i < Refinements; i++)
        {
            var middle = measure(Math.Sqrt(clean.Drive * clipped.Drive));
            if (Sign(points[0], middle) is null)
            {
                clean = middle;
            }
            else
            {
                clipped = middle;
            }
        }
        return new(clipped, Sign(points[0], clipped)!.Value, Origin(points[0], clipped));
    }

    private static ClippingSign? Sign(DrivePoint lowest, DrivePoint point)
    {
        if (point.Load is null)
        {
            return null;
        }
        if (point.Load.Distortion >= DriveLimits.ClippingDistortion)
        {
            return ClippingSign.Distortion;
        }
        return 20 * Math.Log10(lowest.Gain / point.Gain) >= DriveLimits.ClippingCompression
            ? ClippingSign.Compression
            : null;
    }

    // Within a feedback loop every stage carries the distortion of the one that clips, so distortion does not show where it arises; the
    // stage that clips is the one that loses gain, the others are driven harder.
    private static int Origin(DrivePoint lowest, DrivePoint point)
    {
        var (worst, most) = (point.Path.Length - 1, 0.0);
        for (var i = 0; i < point.Path.Length; i++)
        {
            var loss = StageGain(lowest, i) / StageGain(point, i);
            if (loss > most)
            {
                (worst, most) = (i, loss);
            }
        }
        return worst;
    }

    private static double StageGain(DrivePoint point, int place) =>
        point.Path[place].Fundamental
        / (place == 0 ? point.Drive : point.Path[place - 1].Fundamental);
}
