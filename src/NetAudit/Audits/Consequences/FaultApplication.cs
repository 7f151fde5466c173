using NetAudit.Diagnosis.Catalogue;
using NetAudit.Simulation;

namespace NetAudit.Audits.Consequences;

/// <summary>Puts faults of the catalogue into a workspace.</summary>
internal static class FaultApplication
{
    /// <summary>Restores the workspace and puts faults in, each at its value.</summary>
    public static void Apply(
        Workspace workspace,
        ReadOnlySpan<(FaultClass Class, double Value)> faults
    )
    {
        workspace.Restore();
        foreach (var (fault, value) in faults)
        {
            foreach (var alteration in fault.Alterations)
            {
                var size = alteration.Coefficient * value;
                switch (alteration.Kind)
                {
                    case AlterationKind.Parameter:
                        workspace.Set(alteration.A, size);
                        break;
                    case AlterationKind.Bridge:
                        workspace.Bridge(alteration.A, alteration.B, size);
                        break;
                    case AlterationKind.Break:
                        workspace.Break(alteration.A, size);
                        break;
                    case AlterationKind.Inject:
                        workspace.Inject(alteration.A, alteration.B, size);
                        break;
                }
            }
        }
    }
}
