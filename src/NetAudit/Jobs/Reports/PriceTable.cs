using System.Globalization;

namespace NetAudit.Jobs.Reports;

/// <summary>The bill: parts, then labour, then the sum.</summary>
internal static class PriceTable
{
    public static void Write(HtmlPage html, Job job, ShopDetails shop)
    {
        if (job.Prices.IsEmpty)
        {
            return;
        }
        html.Text("h2", "Parts and labour");
        html.Table(
            ["", "#Quantity", "#Each", "#Price"],
            job.Prices.OrderBy(line => line.IsLabour)
                .Select(line =>
                    (
                        (string?)null,
                        new[]
                        {
                            line.Text,
                            line.Quantity.ToString(
                                line.IsLabour ? "0.##' h'" : "0.##",
                                CultureInfo.InvariantCulture
                            ),
                            Amount(line.UnitPrice),
                            Amount(line.Total),
                        }
                    )
                ),
            [
                "Total",
                "",
                "",
                $"{Amount(job.Prices.Sum(line => line.Total))} {shop.Currency}".Trim(),
            ]
        );
    }

    private static string Amount(decimal amount) =>
        amount.ToString("0.00", CultureInfo.InvariantCulture);
}
