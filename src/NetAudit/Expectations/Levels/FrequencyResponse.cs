using System.Collections.Immutable;
using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations.Levels;

/// <summary>Gain at one frequency.</summary>
/// <param name="Frequency">Hertz.</param>
/// <param name="Gain">Volts at the end per volt at the beginning.</param>
public sealed record ResponsePoint(double Frequency, Complex Gain)
{
    /// <summary>Gain in decibels.</summary>
    public double Decibels => 20 * Math.Log10(Complex.Abs(Gain));

    /// <summary>Degrees.</summary>
    public double Phase => Gain.Phase * 180 / Math.PI;
}

/// <summary>Gain from one node of a healthy amplifier to another over frequency, as long as the signal is small.</summary>
/// <param name="From">Node index.</param>
/// <param name="To">Node index.</param>
/// <param name="Reference">The frequency that the -3 dB points count from, the sheet's or 1 kHz.</param>
/// <param name="Points">Ascending.</param>
/// <param name="Low">Hertz below the reference where the gain is 3 dB down; null when there is none down to 1 Hz.</param>
/// <param name="High">Hertz above it; null when there is none up to 1 MHz.</param>
public sealed record FrequencyResponse(
    int From,
    int To,
    ResponsePoint Reference,
    ImmutableArray<ResponsePoint> Points,
    double? Low,
    double? High
)
{
    /// <summary>The least frequency asked for, hertz.</summary>
    public const double LeastFrequency = 20;

    /// <summary>The greatest, hertz.</summary>
    public const double GreatestFrequency = 20e3;

    private const double UsualReference = 1000;

    // How far out a corner is looked for.
    private const double LeastCorner = 1;
    private const double GreatestCorner = 1e6;
    private const int PointsPerDecade = 10;
    private const int Bisections = 40;

    // Half power: 3.01 dB.
    private static readonly double CornerRatio = Math.Sqrt(0.5);

    /// <summary>The response, or why there is none.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="from">Node where the signal is put in; null is where the sheet's source does.</param>
    /// <param name="to">Node where it is taken; null is the load, or the last stage's output.</param>
    /// <param name="condition">Its condition; null is powered normally.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static (FrequencyResponse? Response, Diagnostic? Problem) Of(
        Amplifier amplifier,
        int? from = null,
        int? to = null,
        Condition? condition = null,
        CancellationToken cancellationToken = default
    )
    {
        var (bench, problem) = SignalBench.For(
            amplifier,
            condition ?? Condition.Normal,
            cancellationToken
        );
        if (bench is null)
        {
            return (null, problem);
        }
        if ((from ?? Start(bench)) is not { } first)
        {
            return (
                null,
                SignalBench.Problem(
                    "The sheet names no test signal, so nobody knows where it goes in.",
                    "give the sheet a [signal], or say with --from where the signal goes in"
                )
            );
        }
        if ((to ?? End(bench)) is not { } last)
        {
            return (
                null,
                SignalBench.Problem(
                    "Neither load nor last stage is known, so nobody knows where the signal is taken.",
                    "name the load among the sheet's [bench] fixtures, or say with --to where the signal is taken"
                )
            );
        }
        var excitation = bench.ExcitingAt(first);
        var reference = amplifier.Sheet.Signal?.Frequency ?? UsualReference;
        var points = Frequencies(LeastFrequency, GreatestFrequency)
            .Select(frequency => new ResponsePoint(frequency, Gain(frequency)))
            .ToImmutableArray();
        var middle = new ResponsePoint(reference, Gain(reference));
        return double.IsNaN(middle.Gain.Real)
            ? (null, SignalBench.Problem("No signal gets to the node it is to start from."))
            : (
                new(
                    first,
                    last,
                    middle,
                    points,
                    Corner(Frequencies(reference, LeastCorner)),
                    Corner(Frequencies(reference, GreatestCorner))
                ),
                null
            );

        Complex Gain(double frequency)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var levels = new Complex[2];
            var solved = bench.Small.Levels(
                frequency,
                [excitation],
                [new(first, 0), new(last, 0)],
                [],
                levels,
                []
            );
            return solved && levels[0] != 0 ? levels[1] / levels[0] : double.NaN;
        }

        // The first place outward where the gain has fallen to half power.
        double? Corner(IEnumerable<double> outward)
        {
            var inside = reference;
            foreach (var frequency in outward)
            {
                if (IsInside(frequency))
                {
                    inside = frequency;
                    continue;
                }
                var outside = frequency;
                for (var i = 0; i < Bisections; i++)
                {
                    var between = Math.Sqrt(inside * outside);
                    (inside, outside) = IsInside(between) ? (between, outside) : (inside, between);
                }
                return inside;
            }
            return null;
        }

        bool IsInside(double frequency) =>
            Complex.Abs(Gain(frequency)) >= CornerRatio * Complex.Abs(middle.Gain);
    }

    private static IEnumerable<double> Frequencies(double first, double last)
    {
        var steps = (int)Math.Ceiling(Math.Abs(Math.Log10(last / first)) * PointsPerDecade - 1e-9);
        return Enumerable
            .Range(0, steps + 1)
            .Select(i => first * Math.Pow(last / first, (double)i / Math.Max(1, steps)));
    }

    private static int? Start(SignalBench bench)
    {
        if (bench.Scene.Signal is not { } signal)
        {
            return null;
        }
        if (signal.Source < 0)
        {
            return signal.Node;
        }
        var terminals = bench.Circuit.Elements[signal.Source].Terminals;
        return terminals[0].Node != 0 ? terminals[0].Node : terminals[1].Node;
    }

    private static int? End(SignalBench bench)
    {
        var load = bench
            .Amplifier.Parts.Where(part => part.Class == PartClass.Fixture)
            .SelectMany(part => part.Elements)
            .Select(e => bench.Circuit.Elements[e])
            .OfType<Resistor>()
            .FirstOrDefault();
        var last = bench.Amplifier.Stages.LastOrDefault(stage =>
            stage is { IsSupply: false, Output: > 0 }
        );
        return load?.Terminals.Select(terminal => terminal.Node).FirstOrDefault(node => node != 0)
            ?? last?.Output;
    }
}
