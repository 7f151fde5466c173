using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Circuits.Sheets;

/// <summary>A sheet as read, before the circuit is known.</summary>
internal sealed record SheetReadResult(
    string File,
    ServiceSheet Sheet,
    ImmutableArray<NameReference> Names,
    DiagnosticList Diagnostics
);

/// <summary>Reads a service sheet. All that is wrong is reported in one run.</summary>
internal static class SheetReader
{
    public static SheetReadResult Read(string text, string file)
    {
        var diagnostics = new DiagnosticList(text);
        var top = TomlDocument.Read(text, file, diagnostics, out var sound);
        var context = new SheetContext(diagnostics, [], sound);
        var table = new SheetTable(top, "the sheet", context);
        var sheet = new ServiceSheet
        {
            Title = table.Text("title"),
            Revision = table.Text("revision"),
            Netlist = table.Text("netlist"),
            Meter = MeterTables.Read(table.Table("meter")),
            Mains = Mains(table.Table("mains")),
            Parts = PartTables.Read(table.Table("part")),
            Tubes = [.. table.Tables("tube").Select(TubeTables.Read)],
            Points = [.. table.Tables("point").Select(Point)],
            Stages = [.. table.Tables("stage").Select(Stage)],
            Controls = [.. table.Tables("control").Select(Control)],
            Switches = [.. table.Tables("switch").Select(SwitchTables.Read)],
            Supplies = [.. table.Tables("supply").Select(SupplyTables.Read)],
            Fuses = [.. table.Tables("fuse").Select(FuseTables.Read)],
            Contacts = [.. table.Tables("contact").Select(Contact)],
            Fixtures = NamesIn(table.Table("bench"), "fixtures", NameKind.Element),
            OpenWhenOff = NamesIn(table.Table("power_off"), "open", NameKind.Source),
            Signal = Signal(table.Table("signal")),
            Built = table.Number("built", NumberRange.Positive),
            Accepted = [.. table.Tables("accept").Select(AuditTables.Accept)],
            Heaters = [.. table.Tables("heater").Select(AuditTables.Heater)],
            Ratings = AuditTables.Rating(table.Table("rating")),
            Touches = [.. table.Tables("touch").Select(AuditTables.Touch)],
            Published = PublishedTables.Read(table.Table("published")),
        };
        sheet = ToleranceTables.Read(table.Table("tolerance"), sheet);
        table.Finish();
        return new SheetReadResult(file, sheet, [.. context.Names], diagnostics);
    }

    private static MainsData Mains(SheetTable? table)
    {
        if (table is null)
        {
            return ServiceSheet.Default.Mains;
        }
        var mains = new MainsData(
            table.Number("nominal", NumberRange.Positive),
            table.Number("spread", NumberRange.Fraction) ?? ServiceSheet.Default.Mains.Spread,
            table.Names("sources", NameKind.Source)
        )
        {
            Fuse = FuseTables.ReadMains(table),
        };
        table.Finish();
        return mains;
    }

    private static PointData Point(SheetTable table)
    {
        var point = new PointData(
            table.Required("name"),
            table.RequiredName("node", NameKind.Node)
        );
        table.Finish();
        return point;
    }

    private static StageData Stage(SheetTable table)
    {
        var stage = new StageData(
            table.Required("name"),
            table.Names("parts", NameKind.Part),
            table.Name("input", NameKind.Node),
            table.Name("output", NameKind.Node),
            table.Flag("supply")
        );
        table.Finish();
        return stage;
    }

    private static ControlData Control(SheetTable table)
    {
        var control = new ControlData(
            table.Required("name"),
            table.RequiredName("param", NameKind.Parameter),
            table.Number("from", NumberRange.Any) ?? 0,
            table.Number("to", NumberRange.Any) ?? 1
        );
        table.Finish();
        return control;
    }

    private static ContactData Contact(SheetTable table)
    {
        var contact = new ContactData(
            table.Required("name"),
            table.RequiredName("element", NameKind.Resistor)
        );
        table.Finish();
        return contact;
    }

    private static SignalData? Signal(SheetTable? table)
    {
        if (table is null)
        {
            return null;
        }
        var signal = new SignalData(
            table.RequiredName("source", NameKind.Source),
            table.Number("frequency", NumberRange.Positive) ?? 1000,
            table.Number("level", NumberRange.NotNegative) ?? 0
        );
        signal = signal with
        {
            SourceResistance =
                table.Number("source_resistance", NumberRange.SourceOhms)
                ?? signal.SourceResistance,
            BlockingCapacitance =
                table.Number("blocking_capacitance", NumberRange.SmallFarads)
                ?? signal.BlockingCapacitance,
        };
        table.Finish();
        return signal;
    }

    private static ImmutableArray<string> NamesIn(SheetTable? table, string key, NameKind kind)
    {
        if (table is null)
        {
            return [];
        }
        var names = table.Names(key, kind);
        table.Finish();
        return names;
    }
}
