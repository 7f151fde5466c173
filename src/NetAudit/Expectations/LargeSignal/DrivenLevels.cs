using System.Collections.Immutable;
using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations.Levels;
using NetAudit.Simulation.SmallSignal;
using NetAudit.Simulation.Transients;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>
/// A healthy amplifier driven by the test signal, followed through a period of its steady state: where it shows other levels than those of
/// small signals, because it clips or because two halves cancel all but harmonics.
/// </summary>
public sealed class DrivenLevels
{
    /// <summary>Levels further apart than 1 dB, the compression point of common practice, are not those of small signals.</summary>
    private static readonly double MostRatio = Math.Pow(10, DriveLimits.ClippingCompression / 20);

    /// <summary>Error of a step as a share of the swing: a decibel is not told by less, and ringing far above clipping is passed over.</summary>
    private const double Tolerance = 1e-2;

    /// <summary>Volts RMS below which a level says nothing of clipping.</summary>
    private const double LeastVolts = 5e-3;

    // From large to small; a signal is turned down to a round value, at most a thousandfold.
    private static readonly ImmutableArray<double> Mantissas = [5, 2, 1];
    private const int MostSteps = 9;

    // A circuit that finds no steady state at more levels than this, one below the other, swings by itself: turning down further helps nothing.
    private const int MostUnsettled = 1;

    private delegate DrivenLevels? Follower(double volts, CancellationToken cancellationToken);

    private readonly Follower _follower;
    private readonly ImmutableArray<int> _path;
    private readonly double[] _small;
    private readonly double[] _driven;
    private (double? Volts, bool IsKnown) _clean;

    private DrivenLevels(
        Follower follower,
        ImmutableArray<int> path,
        double volts,
        double[] small,
        double[] driven,
        bool isSettled
    )
    {
        _follower = follower;
        _path = path;
        Volts = volts;
        _small = small;
        _driven = driven;
        IsSettled = isSettled;
    }

    /// <summary>Volts RMS of the test signal.</summary>
    public double Volts { get; }

    /// <summary>Whether a steady state was found; if not, the levels are those of some period, and the circuit may swing by itself.</summary>
    public bool IsSettled { get; }

    /// <summary>Whether some stage's output, or the load, has another level than that of small signals.</summary>
    public bool IsClipping => _path.Any(Differs);

    /// <summary>Whether the level at a node is not that of small signals.</summary>
    public bool Differs(int node) =>
        Math.Max(_small[node], _driven[node]) > LeastVolts
        && !(_driven[node] / _small[node] < MostRatio && _small[node] / _driven[node] < MostRatio);

    /// <summary>Volts RMS at a node as long as nothing clips, without a meter.</summary>
    public double SmallAt(int node) => _small[node];

    /// <summary>Volts RMS of the alternating part at a node, without a meter.</summary>
    public double DrivenAt(int node) => _driven[node];

    /// <summary>Volts RMS of a round test signal below this one at which nothing clips; null when none was found.</summary>
    public double? FindCleanVolts(CancellationToken cancellationToken = default)
    {
        if (!_clean.IsKnown)
        {
            _clean = (TurnDown(cancellationToken), true);
        }
        return _clean.Volts;
    }

    private double? TurnDown(CancellationToken cancellationToken)
    {
        var unsettled = IsSettled ? 0 : 1;
        foreach (var volts in RoundBelow(Volts).Take(MostSteps))
        {
            var lower = _follower(volts, cancellationToken);
            if (lower is { IsClipping: false })
            {
                return volts;
            }
            unsettled = lower is { IsSettled: true } ? 0 : unsettled + 1;
            if (unsettled > MostUnsettled)
            {
                break;
            }
        }
        return null;
    }

    /// <summary>What to do about the clipping, in words.</summary>
    public string Advice(CancellationToken cancellationToken = default) =>
        FindCleanVolts(cancellationToken) is { } volts
            ? $"nothing clips at {EngineeringNotation.Format(volts, "V")}"
        : IsSettled ? "turn the signal down"
        : "feed the signal in elsewhere: lower ones that were tried found no steady state either";

    /// <summary>Drives the amplifier as a condition says; null when there is no test signal, or it could not be followed.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="condition">The condition.</param>
    /// <param name="frequency">Hertz; null is that of the sheet.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static DrivenLevels? Of(
        Amplifier amplifier,
        Condition condition,
        double? frequency = null,
        CancellationToken cancellationToken = default
    )
    {
        var (wired, rest) = GeneratorCircuit.Attach(amplifier, condition);
        if (
            SignalBench.For(wired, rest, cancellationToken).Bench is not { } bench
            || bench.Scene.Signal is not { } signal
            || DriveSetup.Find(wired, frequency: frequency).Setup is not { } setup
        )
        {
            return null;
        }
        var nodes = amplifier.Circuit.Nodes.Length;
        var small = new Complex[nodes];
        var solved = bench.Small.Levels(
            setup.Frequency,
            [Excitation.OfSource(setup.Source, 1)],
            [.. Enumerable.Range(0, nodes).Select(node => new LevelProbe(node, 0))],
            [],
            small,
            []
        );
        if (!solved)
        {
            return null;
        }
        ImmutableArray<int> path = [.. setup.Path.Select(place => place.Node)];
        var drive = new DriveBench(wired, setup, bench.Point, Tolerance);
        DrivenLevels? At(double volts, CancellationToken cancellation) =>
            Follow(drive, volts, nodes, cancellation) is var (driven, isSettled)
                ? new(
                    At,
                    path,
                    volts,
                    [.. small.Select(level => volts * level.Magnitude)],
                    driven,
                    isSettled
                )
                : null;
        return At(signal.Volts, cancellationToken);
    }

    /// <summary>The values 1, 2 and 5 of each decade below some volts, falling.</summary>
    internal static IEnumerable<double> RoundBelow(double volts)
    {
        for (var decade = Math.Floor(Math.Log10(volts)); ; decade--)
        {
            foreach (var value in Mantissas.Select(m => m * Math.Pow(10, decade)))
            {
                if (value < volts * (1 - 1e-9))
                {
                    yield return value;
                }
            }
        }
    }

    private static (double[] Driven, bool IsSettled)? Follow(
        DriveBench drive,
        double volts,
        int nodes,
        CancellationToken cancellationToken
    )
    {
        var outcome = drive.Settle(volts, cancellationToken);
        var (sum, squares) = (new double[nodes], new double[nodes]);
        var followed = drive.Sample(
            (_, workspace) =>
            {
                for (var node = 1; node < nodes; node++)
                {
                    var now = workspace.VoltsNow(node);
                    sum[node] += now;
                    squares[node] += now * now;
                }
            },
            cancellationToken
        );
        if (!followed)
        {
            return null;
        }
        double[] driven =
        [
            .. squares.Zip(
                sum,
                (square, total) =>
                    Math.Sqrt(
                        Math.Max(0, square - total * total / DriveBench.Samples)
                            / DriveBench.Samples
                    )
            ),
        ];
        return (driven, outcome == PeriodicOutcome.Settled);
    }
}
