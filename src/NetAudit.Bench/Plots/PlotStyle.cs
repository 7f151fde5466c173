using System.Text;
using ScottPlot;

namespace NetAudit.Bench.Plots;

/// <summary>What all plots share: type, colours that read on light and dark, and how they get into the page.</summary>
internal static class PlotStyle
{
    /// <summary>Lines of what is expected.</summary>
    public static readonly Color Expected = Color.FromHex("#0b6b63");

    /// <summary>What was measured.</summary>
    public static readonly Color Measured = Color.FromHex("#a84300");

    /// <summary>What stands behind.</summary>
    public static readonly Color Quiet = Color.FromHex("#5c6b68");

    private const string Face = "DejaVu Sans";

    /// <summary>A plot in the page's style.</summary>
    public static Plot New(string across, string up)
    {
        Fonts.Default = Face;
        var plot = new Plot();
        plot.Font.Set(Face);
        plot.Axes.Bottom.Label.Text = across;
        plot.Axes.Left.Label.Text = up;
        plot.Axes.Bottom.Label.FontSize = plot.Axes.Left.Label.FontSize = 16;
        plot.Axes.Bottom.TickLabelStyle.FontSize = plot.Axes.Left.TickLabelStyle.FontSize = 14;
        plot.Axes.Top.IsVisible = false;
        plot.Axes.Right.FrameLineStyle.Width = 0;
        // The last label of the axis below stands half beside the frame.
        plot.Axes.Right.MinimumSize = 40;
        plot.Grid.MajorLineColor = Color.FromHex("#dfe5e3");
        return plot;
    }

    /// <summary>The plot as the address of an image: an image runs nothing, whatever its texts hold.</summary>
    public static string DataAddress(Plot plot, int width = 900, int height = 460) =>
        "data:image/svg+xml;base64,"
        + Convert.ToBase64String(
            Encoding.UTF8.GetBytes(
                // A box to scale: without it a browser cuts the picture off instead of shrinking it.
                plot.GetSvgXml(width, height)
                    .Replace(
                        "<svg ",
                        FormattableString.Invariant($"<svg viewBox=\"0 0 {width} {height}\" "),
                        StringComparison.Ordinal
                    )
            )
        );
}
