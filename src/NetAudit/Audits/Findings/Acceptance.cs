using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Audits.Findings;

/// <summary>Marks the findings that the sheet accepts, and adds one for each acceptance that matches nothing.</summary>
internal static class Acceptance
{
    public static ImmutableArray<Finding> Apply(AuditContext context)
    {
        var used = new HashSet<AcceptData>();
        var findings = context
            .Found.Select(finding =>
            {
                var accept = context.Amplifier.Sheet.Accepted.FirstOrDefault(accept =>
                    Same(accept.Code, finding.Code.Name) && Same(accept.At, finding.At)
                );
                if (accept is null)
                {
                    return finding;
                }
                used.Add(accept);
                return finding with { Accepted = accept.Reason };
            })
            .ToList();
        foreach (
            var accept in context.Amplifier.Sheet.Accepted.Where(accept => !used.Contains(accept))
        )
        {
            findings.Add(Idle(accept));
        }
        return [.. findings];
    }

    private static Finding Idle(AcceptData accept)
    {
        var code = FindingCode.Find("idle-accept")!;
        return FindingCode.Find(accept.Code) is null
            ? new Finding(
                code,
                accept.At,
                accept.Where,
                $"there is no finding \"{accept.Code}\" to accept",
                FindingCode.DidYouMean(accept.Code)
                    ?? "netaudit check --explain all lists the codes"
            )
            : new Finding(
                code,
                accept.At,
                accept.Where,
                $"there is no finding {accept.Code} at {accept.At} to accept",
                code.Mend
            );
    }

    private static bool Same(string a, string b) => a.Equals(b, StringComparison.OrdinalIgnoreCase);
}
