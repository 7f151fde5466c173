namespace NetAudit.Cli.Reports;

/// <summary>A part of a limit as a bar of text: it fills from the left, the stroke is the limit, what is past the stroke is too much.</summary>
internal static class MarginBar
{
    private const int CellsToLimit = 12;
    private const int CellsBeyond = 3;

    /// <summary>The bar of a ratio of 0 or more: <c>========        |</c>, <c>================|==</c>.</summary>
    public static string Of(double ratio)
    {
        // Anything at all shows, and nothing below the limit touches the stroke.
        var cells = (int)Math.Round(ratio * CellsToLimit);
        cells = ratio <= 1 ? Math.Min(cells, CellsToLimit) : Math.Max(cells, CellsToLimit + 1);
        var within = new string('=', Math.Min(cells, CellsToLimit)).PadRight(CellsToLimit);
        var beyond = Math.Max(0, cells - CellsToLimit);
        return within
            + "|"
            + (beyond > CellsBeyond ? new string('=', CellsBeyond) + ">" : new string('=', beyond));
    }
}
