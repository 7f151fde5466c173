using NetAudit.Circuits;
using NetAudit.Simulation;
using NetAudit.Simulation.Transients;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>
/// An amplifier on the bench with a sine at its input, which is turned up or down; each level starts from the steady state of the one
/// before. Not thread-safe.
/// </summary>
internal sealed class DriveBench
{
    /// <summary>Samples in a period: harmonics to the 100th are told from each other.</summary>
    public const int Samples = 256;

    private const int LeastStepsInPeriod = 64;

    private readonly DriveSetup _setup;
    private readonly double? _tolerance;
    private readonly Workspace _workspace;
    private readonly double _offset;
    private readonly double[] _startVolts;
    private Integrator? _integrator;
    private PeriodicSteadyState? _steady;

    /// <param name="amplifier">The amplifier.</param>
    /// <param name="setup">Source, load, frequency, places.</param>
    /// <param name="operatingPoint">A solved workspace: its parameters and edits are in force.</param>
    /// <param name="tolerance">Error allowed in one step, as a share of the swing; null is that of measurements.</param>
    public DriveBench(
        Amplifier amplifier,
        DriveSetup setup,
        Workspace operatingPoint,
        double? tolerance = null
    )
    {
        _setup = setup;
        _tolerance = tolerance;
        Amplifier = amplifier;
        _workspace = Workspace.ForDynamics(operatingPoint.Circuit);
        _workspace.MatchCircuit(operatingPoint);
        _startVolts = operatingPoint.Volts.ToArray();
        _offset = _workspace.ValueNow(setup.Source);
    }

    public Amplifier Amplifier { get; }

    /// <summary>Periods followed for the level last set.</summary>
    public int Periods => _steady?.Periods ?? 0;

    /// <summary>Turns the drive to RMS volts and waits for the steady state.</summary>
    public PeriodicOutcome Settle(double level, CancellationToken cancellationToken)
    {
        var sine = TimeFunction.Sine(_offset, Math.Sqrt(2) * level, _setup.Frequency);
        if (_steady is null && !Start(sine, cancellationToken))
        {
            return PeriodicOutcome.Failed;
        }
        _integrator!.Replace(_setup.Source, sine);
        var outcome = _steady!.Settle(cancellationToken);
        if (outcome == PeriodicOutcome.Failed)
        {
            _steady = null;
        }
        return outcome;
    }

    /// <summary>
    /// Goes through one period and calls at each of <see cref="Samples"/> equal parts, the first at the end of the period. False when it
    /// could not be followed.
    /// </summary>
    public bool Sample(Action<int, Workspace> sample, CancellationToken cancellationToken) =>
        _steady is { } steady
        && steady.Sample(Samples, i => sample(i, _workspace), cancellationToken);

    /// <summary>Settles at a level and measures.</summary>
    public DrivePoint Measure(double level, CancellationToken cancellationToken)
    {
        var outcome = Settle(level, cancellationToken);
        var path = _setup.Path.Select(_ => new double[Samples]).ToArray();
        var load = new double[Samples];
        var terminals =
            _setup.Load >= 0 ? Amplifier.Circuit.Elements[_setup.Load].Terminals : default;
        var followed = Sample(
            (i, workspace) =>
            {
                for (var p = 0; p < path.Length; p++)
                {
                    path[p][i] = workspace.VoltsNow(_setup.Path[p].Node);
                }
                load[i] = terminals.IsDefault
                    ? path[^1][i]
                    : workspace.VoltsNow(terminals[0].Node) - workspace.VoltsNow(terminals[1].Node);
            },
            cancellationToken
        );
        return followed
            ? new(
                level,
                outcome == PeriodicOutcome.Settled,
                [.. path.Select(samples => Spectrum.Of(samples))],
                Spectrum.Of(load),
                terminals.IsDefault ? null : Watts(load)
            )
            : new(level, false, [], null, null);
    }

    private double Watts(double[] volts) =>
        volts.Select(v => v * v).Average() / _workspace.ValueNow(_setup.Load);

    private bool Start(TimeFunction sine, CancellationToken cancellationToken)
    {
        var period = 1 / _setup.Frequency;
        var options = new IntegratorOptions(period / LeastStepsInPeriod);
        _integrator = new Integrator(
            _workspace,
            _tolerance is { } tolerance ? options with { Tolerance = tolerance } : options,
            [(_setup.Source, sine)]
        );
        if (!_integrator.StartAtOperatingPoint(_startVolts, cancellationToken))
        {
            return false;
        }
        _steady = new PeriodicSteadyState(_integrator, period);
        return true;
    }
}
