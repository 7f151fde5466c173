using System.Globalization;

namespace NetAudit.Jobs.Reports;

/// <summary>The head of a report: the shop at one side, the job at the other.</summary>
internal static class ReportHead
{
    public static void Write(HtmlPage html, Job job, ShopDetails shop) =>
        html.Around(
            "header",
            () =>
                html.Around(
                        "div",
                        () =>
                        {
                            if (shop.Name.Length > 0)
                            {
                                html.Text("p", shop.Name, "shop");
                            }
                            if (shop.Address.Length > 0)
                            {
                                html.Text("address", shop.Address);
                            }
                        }
                    )
                    .Around(
                        "div",
                        () =>
                            html.Text("p", $"Job {job.Number}")
                                .Text(
                                    "p",
                                    job.Changed.ToString(
                                        "d MMMM yyyy",
                                        CultureInfo.InvariantCulture
                                    )
                                )
                    )
        );
}
