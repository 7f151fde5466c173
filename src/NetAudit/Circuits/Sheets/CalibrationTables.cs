using NetAudit.Common;

namespace NetAudit.Circuits.Sheets;

/// <summary>Reads a calibration file.</summary>
internal static class CalibrationTables
{
    /// <summary>The calibration; what is wrong is in the diagnostics.</summary>
    public static (Calibration Calibration, SheetContext Context) Read(string text, string file)
    {
        var diagnostics = new DiagnosticList(text);
        var top = TomlDocument.Read(text, file, diagnostics, out var sound);
        var context = new SheetContext(diagnostics, [], sound);
        var table = new SheetTable(top, "the calibration", context);
        var title = table.Text("title");
        // For the reader of the file only.
        table.Text("from");
        var calibration = new Calibration(title, [.. table.Tables("term").Select(Term)]);
        table.Finish();
        return (calibration, context);
    }

    private static CalibratedTerm Term(SheetTable table)
    {
        var term = new CalibratedTerm(
            table.RequiredName("name", NameKind.Part),
            table.Number("factor", NumberRange.Positive) ?? 1,
            table.Number("offset", NumberRange.Any) ?? 0,
            table.Number("spread", NumberRange.Fraction) ?? 1
        );
        table.Number("moved", NumberRange.Any);
        table.Finish();
        return term with { Spread = Math.Max(term.Spread, 1e-6) };
    }
}
