using NetAudit.Common;

namespace NetAudit.Audits.Findings;

/// <summary>Findings as JSON.</summary>
public static class FindingJson
{
    /// <summary>
    /// <c>{ "findings": [ { "code", "severity", "at", "file", "line", "column", "message", "mend", "accepted" } ] }</c>; what is not
    /// known is null, and <c>accepted</c> is the sheet's reason.
    /// </summary>
    public static string ToText(IEnumerable<Finding> findings) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteObjects(
                "findings",
                findings,
                finding =>
                {
                    json.WriteString("code", finding.Code.Name);
                    json.WriteString("severity", finding.Code.Severity.Word());
                    json.WriteString("at", finding.At);
                    json.WriteString("file", finding.Where?.File);
                    json.WriteFinite("line", finding.Where?.Line);
                    json.WriteFinite("column", finding.Where?.Column);
                    json.WriteString("message", finding.Message);
                    json.WriteString("mend", finding.Mend);
                    json.WriteString("accepted", finding.Accepted);
                }
            );
        });

    /// <summary><c>{ "codes": [ { "code", "severity", "title", "explanation", "mend" } ] }</c></summary>
    public static string ToText(IEnumerable<FindingCode> codes) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteObjects(
                "codes",
                codes,
                code =>
                {
                    json.WriteString("code", code.Name);
                    json.WriteString("severity", code.Severity.Word());
                    json.WriteString("title", code.Title);
                    json.WriteString("explanation", code.Explanation);
                    json.WriteString("mend", code.Mend);
                }
            );
        });
}
