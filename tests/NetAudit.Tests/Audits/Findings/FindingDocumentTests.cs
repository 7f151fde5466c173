using NetAudit.Audits.Findings;
using Xunit;

namespace NetAudit.Tests.Audits.Findings;

/// <summary>docs/findings.md holds every code as the program explains it.</summary>
public sealed class FindingDocumentTests
{
    [Fact]
    public void Document_EveryCode_IsExplainedInIt()
    {
        var document = File.ReadAllText(Repository.File("docs/findings.md"));

        Assert.All(
            FindingCode.All,
            code =>
                Assert.Contains(
                    $"### {code.Name}\n{code.Severity.ToString().ToLowerInvariant()}: {code.Title}. {code.Explanation}\n\nMend: {code.Mend}.\n",
                    document,
                    StringComparison.Ordinal
                )
        );
    }
}
