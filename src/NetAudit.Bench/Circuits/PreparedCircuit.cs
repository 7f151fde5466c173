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
    private readonly Lazy<SignalSurvey?> _signal;
    private readonly Lazy<CircuitAuditResult> _audit;

    /// <summary>Reads and solves a circuit.</summary>
    public PreparedCircuit(CircuitSource source)
    {
        ArgumentNullException.ThrowIfNull(source);
        var read = source.Read();
        Amplifier = read.Amplifier;
        _audit = new(() => CircuitAuditResult.Of(Amplifier!));
        _signal = new(() => Amplifier is null ? null : SignalSurvey.Of(Amplifier));
        Problems = [.. read.Diagnostics.Where(found => found.Severity == Severity.Error)];
        if (Amplifier is null)
        {
            return;
        }
        var expectation = Expectation.Of(Amplifier);
        Expected = expectation.Readings;
        Reason = expectation.Reason;
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

    /// <summary>First checks.</summary>
    public ImmutableArray<FirstCheck> Checks { get; } = FirstChecks.Of(null);

    /// <summary>Points in the order in which a bench goes through them.</summary>
    public ImmutableArray<ExpectedReading> Order { get; } = [];

    /// <summary>The test signal along the path; null when the sheet names none. Worked out when first asked for.</summary>
    public SignalSurvey? Signal => _signal.Value;

    /// <summary>What the audits say; only for a circuit that can be read. Worked out when first asked for.</summary>
    public CircuitAuditResult Audit => _audit.Value;

    /// <summary>The plate curves of a tube section; null when it has none. Worked out when first asked for.</summary>
    public PlateCurves? Curves(TubeSection section)
    {
        ArgumentNullException.ThrowIfNull(section);
        return _curves.GetOrAdd(
            section.Instance,
            _ => Amplifier is null ? null : PlateCurves.Of(Amplifier, section)
        );
    }

    /// <summary>The expected reading at a node against chassis, or null.</summary>
    public ExpectedReading? At(int node) => _byNode.GetValueOrDefault(node);

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
                diagnoser = Diagnoser.Prepare(Amplifier!, cancellationToken).Diagnoser;
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
