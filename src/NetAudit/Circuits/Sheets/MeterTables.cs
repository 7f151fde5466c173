using System.Collections.Immutable;

namespace NetAudit.Circuits.Sheets;

/// <summary><c>[meter]</c></summary>
internal static class MeterTables
{
    public static Meter Read(SheetTable? table)
    {
        var usual = Meter.Default;
        if (table is null)
        {
            return usual;
        }
        var meter = usual with
        {
            InputResistance =
                table.Number("input_resistance", NumberRange.Positive) ?? usual.InputResistance,
            InputCapacitance =
                table.Number("input_capacitance", NumberRange.NotNegative)
                ?? usual.InputCapacitance,
            OhmsPerVolt = table.Number("ohms_per_volt", NumberRange.Positive),
            Ranges = Ranges(table) ?? usual.Ranges,
            Dc = Accuracy(table.Table("dc"), usual.Dc),
            Ac = Accuracy(table.Table("ac"), usual.Ac),
            Ohms = Accuracy(table.Table("ohms"), usual.Ohms),
            OhmsTestVolts =
                table.Number("ohms_test_volts", NumberRange.Positive) ?? usual.OhmsTestVolts,
        };
        table.Finish();
        return meter;
    }

    private static ImmutableArray<double>? Ranges(SheetTable table)
    {
        if (table.Find("ranges") is not { } entry)
        {
            return null;
        }
        if (entry.Value is not TomlList { Items.Count: > 0 } list)
        {
            table.Wrong(entry.Value, "ranges", "a list of full-scale volts, [10, 50, 250]");
            return null;
        }
        var ranges = list
            .Items.Select(item => table.NumberOf(item, "ranges", NumberRange.Positive))
            .OfType<double>()
            .Order()
            .ToImmutableArray();
        return ranges.IsEmpty ? null : ranges;
    }

    private static MeterAccuracy Accuracy(SheetTable? table, MeterAccuracy usual)
    {
        if (table is null)
        {
            return usual;
        }
        var accuracy = new MeterAccuracy(
            table.Number("of_reading", NumberRange.Fraction) ?? usual.OfReading,
            table.Number("counts", NumberRange.NotNegative) ?? usual.Counts,
            table.Number("digits", NumberRange.Positive) ?? usual.Digits
        );
        table.Finish();
        return accuracy;
    }
}
