using NetAudit.Circuits;
using NetAudit.Circuits.Stages;
using NetAudit.Common;
using NetAudit.Simulation;

namespace NetAudit.Audits.Findings;

/// <summary>What the checks share: the amplifier, its wiring, its operating point, and where they put what they find.</summary>
internal sealed class AuditContext
{
    private readonly List<Finding> _found = [];

    public AuditContext(Amplifier amplifier, OperatingPoint point)
    {
        Amplifier = amplifier;
        Volts = point.Converged ? [.. point.NodeVolts] : null;
        Unsettled = point.Problem;
        Wiring = new Wiring(amplifier);
        Stages = new StageGraph(amplifier.Circuit, amplifier.Parts);
        (Rails, Regulators) = RailFinder.Find(Stages);
    }

    public Amplifier Amplifier { get; }

    public Circuit Circuit => Amplifier.Circuit;

    /// <summary>Volts by node at the operating point, or null when there is none.</summary>
    public double[]? Volts { get; }

    /// <summary>Why there is no operating point, or null.</summary>
    public Diagnostic? Unsettled { get; }

    public Wiring Wiring { get; }

    public StageGraph Stages { get; }

    /// <summary>Nodes of the supply.</summary>
    public IReadOnlySet<int> Rails { get; }

    public IReadOnlySet<ActiveDevice> Regulators { get; }

    public IReadOnlyList<Finding> Found => _found;

    /// <summary>Adds a finding; the mend of its code is used when none is given.</summary>
    public void Add(string code, string at, SourceSpan? where, string message, string? mend = null)
    {
        var kind =
            FindingCode.Find(code)
            ?? throw new InvalidOperationException($"There is no code {code}.");
        _found.Add(new Finding(kind, at, where, message, mend ?? kind.Mend));
    }

    /// <summary>A node's name.</summary>
    public string Name(int node) => node == 0 ? "chassis" : Circuit.Nodes[node].Name;
}
