using NetAudit.Circuits.Parts;
using NetAudit.Circuits.Points;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Stages;
using NetAudit.Common;

namespace NetAudit.Circuits;

/// <summary>The way in for an amplifier: netlist and sheet to circuit, parts, stages and points. Thread-safe.</summary>
public static class AmplifierReader
{
    private const string SheetEnding = ".sheet.toml";

    /// <summary>Reads a netlist and its sheet. Bad input never throws: everything wrong in both files is in the result.</summary>
    /// <param name="netlistPath">The netlist, or <c>-</c> for standard input.</param>
    /// <param name="sheetPath">The sheet; null takes the one of the same name beside the netlist when there is one.</param>
    /// <param name="libraryFolder">A further folder for includes, or null.</param>
    /// <param name="parameterOverrides">Values that replace those of <c>.param</c> cards at the top of the netlist, or null.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    public static AmplifierReadResult Read(
        string netlistPath,
        string? sheetPath = null,
        string? libraryFolder = null,
        IReadOnlyDictionary<string, double>? parameterOverrides = null,
        CancellationToken cancellationToken = default
    )
    {
        var netlist = CircuitReader.ReadFile(
            netlistPath,
            libraryFolder,
            parameterOverrides,
            cancellationToken
        );
        sheetPath ??= SheetBeside(netlistPath);
        if (sheetPath is null)
        {
            return Join(netlist, null);
        }
        try
        {
            return Join(netlist, SheetReader.Read(InputFile.ReadText(sheetPath), sheetPath));
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            var unread = new Diagnostic(
                Severity.Error,
                null,
                $"the sheet {sheetPath} cannot be read: {problem.Message}"
            );
            return new AmplifierReadResult(null, netlist.Diagnostics.Add(unread));
        }
    }

    /// <summary>Reads a sheet's text for a netlist already read.</summary>
    /// <param name="netlist">What <see cref="CircuitReader"/> gave.</param>
    /// <param name="sheetText">The sheet, or null for the defaults.</param>
    /// <param name="sheetName">Name of the sheet for diagnostics.</param>
    public static AmplifierReadResult ReadText(
        CircuitReadResult netlist,
        string? sheetText,
        string sheetName = "sheet"
    ) => Join(netlist, sheetText is null ? null : SheetReader.Read(sheetText, sheetName));

    /// <summary>The amplifier of a circuit and a sheet whose names are known to be right.</summary>
    public static Amplifier Of(Circuit circuit, ServiceSheet sheet) => Of(circuit, sheet, null);

    // Parts, stages and points are those of the netlist as it stands.
    private static Amplifier Of(
        Circuit circuit,
        ServiceSheet sheet,
        Action<string, string, string>? supplyProblem
    )
    {
        var parts = PartFinder.Find(circuit, sheet);
        return new Amplifier(
            SupplyAttachment.Attach(circuit, sheet.Supplies, supplyProblem),
            sheet,
            parts,
            StageFinder.Find(circuit, sheet, parts),
            PointFinder.Find(circuit, sheet, parts)
        );
    }

    private static AmplifierReadResult Join(CircuitReadResult netlist, SheetReadResult? sheet)
    {
        if (netlist.Circuit is null)
        {
            var all = netlist.Diagnostics.AddRange(sheet?.Diagnostics.ToImmutable() ?? []);
            return new AmplifierReadResult(null, all);
        }
        var amplifier = Of(
            netlist.Circuit,
            sheet?.Sheet ?? ServiceSheet.Default,
            (source, why, mend) => SheetCheck.ReportSupply(sheet!, source, why, mend)
        );
        if (sheet is null)
        {
            return new AmplifierReadResult(amplifier, netlist.Diagnostics);
        }
        SheetCheck.Check(sheet, amplifier);
        return new AmplifierReadResult(
            sheet.Diagnostics.HasErrors ? null : amplifier,
            netlist.Diagnostics.AddRange(sheet.Diagnostics.ToImmutable())
        );
    }

    private static string? SheetBeside(string netlistPath)
    {
        if (netlistPath == "-")
        {
            return null;
        }
        var beside = Path.ChangeExtension(netlistPath, null) + SheetEnding;
        return File.Exists(beside) ? beside : null;
    }
}
