using System.Globalization;
using NetAudit.Common;

namespace NetAudit.Audits.Services;

/// <summary>The service list for programs and spreadsheets.</summary>
public static class ServiceListText
{
    private static readonly string[] Header =
    [
        "part",
        "reason",
        "value",
        "unit",
        "rating",
        "rating_unit",
        "worst",
        "fit",
        "due",
        "note",
    ];

    /// <summary>The reason in words, <c>runs-hot</c>.</summary>
    public static string Word(this ServiceReason reason) =>
        reason switch
        {
            ServiceReason.RunsHot => "runs-hot",
            _ => reason.ToString().ToLowerInvariant(),
        };

    /// <summary>
    /// <c>{ "parts": [ { "part", "reason", "value", "unit", "rating", "rating_unit", "worst", "fit", "due", "note" } ] }</c>
    /// </summary>
    public static string ToJson(IEnumerable<ServiceItem> items) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteObjects(
                "parts",
                items,
                item =>
                {
                    json.WriteString("part", item.Part);
                    json.WriteString("reason", item.Reason.Word());
                    json.WriteRounded("value", item.Value);
                    json.WriteString("unit", item.Unit);
                    json.WriteRounded("rating", item.Rating);
                    json.WriteString("rating_unit", item.RatingUnit);
                    json.WriteRounded("worst", item.Worst);
                    json.WriteString("fit", item.Fit);
                    json.WriteBoolean("due", item.IsDue);
                    json.WriteString("note", item.Note);
                }
            );
        });

    /// <summary>CSV with a header; columns as the keys of the JSON.</summary>
    public static string ToCsv(IEnumerable<ServiceItem> items)
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture) { NewLine = "\n" };
        text.WriteLine(string.Join(',', Header));
        foreach (var item in items)
        {
            string[] cells =
            [
                item.Part,
                item.Reason.Word(),
                Number(item.Value),
                item.Unit,
                Number(item.Rating),
                item.RatingUnit,
                Number(item.Worst),
                item.Fit,
                item.IsDue ? "yes" : "",
                item.Note,
            ];
            text.WriteLine(string.Join(',', cells.Select(Quoted)));
        }
        return text.ToString();
    }

    private static string Number(double? value) =>
        value is { } number ? number.ToString("G5", CultureInfo.InvariantCulture) : "";

    private static string Quoted(string cell) =>
        cell.AsSpan().IndexOfAny(",\"\n") < 0
            ? cell
            : $"\"{cell.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}
