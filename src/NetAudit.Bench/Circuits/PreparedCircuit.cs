using System.Collections.Concurrent;
using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Bench.Circuits;

/// <summary>A circuit ready to work with, shared by all jobs of it: expected readings, and diagnosers to borrow. Thread-safe.</summary>
public sealed class PreparedCircuit : IDisposable
{
    private readonly ConcurrentBag<Diagnoser> _idle = [];
    private readonly SemaphoreSlim _free = new(Math.Max(1, Environment.ProcessorCount));
    private readonly Dictionary<int, ExpectedReading> _byNode = [];
    private readonly ConcurrentDictionary<string, PlateCurves?> _curves = new();
    private readonly ConcurrentDictionary<
        (ReadingKind, int, int, Condition),
        ExpectedReading?
    > _expected = new();
    private readonly Lock _forecasting = new();
    private readonly HealthyForecast? _healthy;
    private readonly Lazy<HealthySignal> _signal;
    private readonly Lazy<CircuitAuditResult> _audit;
    private readonly Lazy<Harm> _harm;
    private readonly Lazy<ImmutableArray<Discharge>> _discharges;

    /// <summary>Reads and solves a circuit.</summary>
    public PreparedCircuit(CircuitSource source)
    {
        ArgumentNullException.ThrowIfNull(source);
        var read = source.Read();
        Amplifier = read.Amplifier;
        _audit = new(() => CircuitAuditResult.Of(Amplifier!));
        _harm = new(() => new Harm(Amplifier!));
        _discharges = new(() => Amplifier is null ? [] : Discharge.Of(Amplifier));
        _signal = new(() => HealthySignal.Of(Amplifier!));
        Problems = [.. read.Diagnostics.Where(found => found.Severity == Severity.Error)];
        if (Amplifier is null)
        {
            return;
        }
        (_healthy, var problem) = HealthyForecast.Prepare(Amplifier);
        Reason = problem?.Message;
        Expected = _healthy?.Of(ReadingKind.Dc, Condition.Normal).Readings ?? [];
        foreach (var reading in Expected)
        {
            _byNode.TryAdd(reading.Point.Node, reading);
        }
        Cautions = Diagnosis.Cautions.Of(Amplifier);
        Checks = FirstChecks.Of(Amplifier);
        Order = ProbeOrder.Of(Amplifier, Expected);
    }

    /// <summary>The amplifier; null when it cannot be read.</summary>
    public Amplifier? Amplifier { get; }

    /// <summary>Why it cannot be read.</summary>
    public ImmutableArray<Diagnostic> Problems { get; }

    /// <summary>Why there are no expected readings, or null.</summary>
    public string? Reason { get; }

    /// <summary>Expected readings of every point.</summary>
    public ImmutableArray<ExpectedReading> Expected { get; } = [];

    /// <summary>What to be told before a hand goes in.</summary>
    public ImmutableArray<string> Cautions { get; } = [];

    /// <summary>Capacitors that stay charged, and for how long. Worked out when first asked for.</summary>
    public ImmutableArray<Discharge> Discharges => _discharges.Value;

    /// <summary>First checks.</summary>
    public ImmutableArray<FirstCheck> Checks { get; } = FirstChecks.Of(null);

    /// <summary>Points in the order in which a bench goes through them.</summary>
    public ImmutableArray<ExpectedReading> Order { get; } = [];

    /// <summary>What the test signal does in a healthy unit. Worked out when first asked for.</summary>
    public HealthySignal Signal => _signal.Value;

    /// <summary>What the audits say; only for a circuit that can be read. Worked out when first asked for.</summary>
    public CircuitAuditResult Audit => _audit.Value;

    /// <summary>What else to look at when these faults are there.</summary>
    public ImmutableArray<string> AlsoLookAt(ImmutableArray<Fault> faults) =>
        _harm.Value.Of(faults);

    /// <summary>The plate curves of a tube section; null when it has none. Worked out when first asked for.</summary>
    public PlateCurves? Curves(TubeSection section)
    {
        ArgumentNullException.ThrowIfNull(section);
        return _curves.GetOrAdd(
            section.Instance,
            _ => Amplifier is null ? null : PlateCurves.Of(Amplifier, section)
        );
    }

    /// <summary>Volts DC at a node against chassis, powered normally, or null.</summary>
    public ExpectedReading? At(int node) => _byNode.GetValueOrDefault(node);

    /// <summary>What a healthy unit shows for a reading of any kind in any condition; null where nothing can be said.</summary>
    public ExpectedReading? For(Reading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        return
            reading is { Kind: ReadingKind.Dc, RefNode: 0 } && reading.Condition == Condition.Normal
            ? At(reading.Node)
            : _expected.GetOrAdd(
                (reading.Kind, reading.Node, reading.RefNode, reading.Condition),
                _ => Forecast(reading)
            );
    }

    /// <summary>Makes a diagnoser ready before the first reading comes.</summary>
    public Task WarmUpAsync() => WithDiagnoserAsync(diagnoser => diagnoser, CancellationToken.None);

    // What every answer needs is worked out with the first one: a reading as expected, thrown away.
    private Diagnoser? NewDiagnoser(CancellationToken cancellationToken)
    {
        var diagnoser = Diagnoser.Prepare(Amplifier!, cancellationToken).Diagnoser;
        if (diagnoser is not null && Order is [var point, ..])
        {
            var line = $"{point.Point.ShortName(Amplifier!)} {MeterText.Volts(point.Mean)}";
            diagnoser.Diagnose(
                TypedReading.Read(line, Amplifier!).Readings,
                new() { MaxFaults = 2, IsQuick = true },
                cancellationToken
            );
        }
        return diagnoser;
    }

    private ExpectedReading? Forecast(Reading reading)
    {
        lock (_forecasting)
        {
            return _healthy?.Of(reading);
        }
    }

    /// <summary>Ends the queue for diagnosers.</summary>
    public void Dispose() => _free.Dispose();

    /// <summary>Lends a diagnoser for one piece of work; waits for one when all are out.</summary>
    public async Task<T?> WithDiagnoserAsync<T>(
        Func<Diagnoser, T> work,
        CancellationToken cancellationToken
    )
        where T : class
    {
        await _free.WaitAsync(cancellationToken);
        try
        {
            if (!_idle.TryTake(out var diagnoser))
            {
                diagnoser = NewDiagnoser(cancellationToken);
            }
            if (diagnoser is null)
            {
                return null;
            }
            try
            {
                return work(diagnoser);
            }
            finally
            {
                _idle.Add(diagnoser);
            }
        }
        finally
        {
            _free.Release();
        }
    }
}
