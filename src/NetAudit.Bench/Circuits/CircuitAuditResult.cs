using System.Collections.Immutable;
using NetAudit.Audits.Findings;
using NetAudit.Audits.Stresses;
using NetAudit.Circuits;

namespace NetAudit.Bench.Circuits;

/// <summary>What the audits say about a circuit.</summary>
/// <param name="Findings">What looks wrong as drawn.</param>
/// <param name="Stresses">What every part endures; null when that could not be worked out.</param>
/// <param name="Reason">Why not, or null.</param>
public sealed record CircuitAuditResult(
    ImmutableArray<Finding> Findings,
    StressReport? Stresses,
    string? Reason
)
{
    /// <summary>Audits a circuit.</summary>
    public static CircuitAuditResult Of(Amplifier amplifier)
    {
        var (report, problem) = StressAnalysis.Of(amplifier);
        return new(CircuitAudit.Check(amplifier), report, problem?.Message);
    }
}
