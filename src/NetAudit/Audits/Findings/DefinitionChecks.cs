namespace NetAudit.Audits.Findings;

/// <summary>Subcircuits and models that nothing uses.</summary>
internal static class DefinitionChecks
{
    public static void Run(AuditContext context)
    {
        foreach (var (kind, name, where) in context.Circuit.Unused)
        {
            context.Add("unused-definition", name, where, $"nothing uses the {kind} {name}");
        }
    }
}
