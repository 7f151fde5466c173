using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Audits.Findings;

/// <summary>The way in for graph findings. Thread-safe.</summary>
public static class CircuitAudit
{
    /// <summary>
    /// Everything that looks wrong in a circuit as drawn, gravest first, then by place; accepted findings are among them. A circuit
    /// without an operating point is a finding too.
    /// </summary>
    /// <param name="amplifier">The circuit and its sheet.</param>
    /// <param name="cancellationToken">Stops the search for the operating point.</param>
    public static ImmutableArray<Finding> Check(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    )
    {
        var point = new OperatingPointSolver().Solve(amplifier.Circuit, cancellationToken);
        var context = new AuditContext(amplifier, point);
        ConnectionChecks.Run(context);
        PathChecks.Run(context);
        LoopChecks.Run(context);
        WiringChecks.Run(context);
        RailChecks.Run(context);
        OperatingChecks.Run(context);
        TubeChecks.Run(context);
        ValueChecks.Run(context);
        DefinitionChecks.Run(context);
        return
        [
            .. Acceptance
                .Apply(context)
                .OrderByDescending(finding => finding.Code.Severity)
                .ThenBy(finding => finding.Where?.File, StringComparer.Ordinal)
                .ThenBy(finding => finding.Where?.Line ?? 0),
        ];
    }
}
