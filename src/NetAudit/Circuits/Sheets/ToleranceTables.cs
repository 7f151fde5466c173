namespace NetAudit.Circuits.Sheets;

/// <summary><c>[tolerance]</c>, and the <c>tolerance</c> key of a part.</summary>
internal static class ToleranceTables
{
    public static ServiceSheet Read(SheetTable? table, ServiceSheet sheet)
    {
        if (table is null)
        {
            return sheet;
        }
        foreach (var key in ToleranceTable.Default.Keys)
        {
            var isSigma = ToleranceTable.Default[key].IsSigma;
            if (Read(table, key, isSigma) is { } tolerance)
            {
                sheet = sheet with
                {
                    Tolerances = sheet.Tolerances.With(key, tolerance),
                    GivenTolerances = sheet.GivenTolerances.Add(key),
                };
            }
        }
        table.Finish();
        return sheet;
    }

    /// <summary>One figure for plus and minus, or <c>[low, high]</c>.</summary>
    public static Tolerance? Read(SheetTable table, string key, bool isSigma)
    {
        if (table.Find(key) is not { } entry)
        {
            return null;
        }
        if (entry.Value is not TomlList list)
        {
            // A grid offset is in volts and may exceed 1.
            var range = isSigma ? NumberRange.NotNegative : NumberRange.Fraction;
            return table.NumberOf(entry.Value, key, range) is { } both
                ? new Tolerance(-both, both, isSigma)
                : null;
        }
        if (isSigma || list.Items.Count != 2)
        {
            table.Wrong(
                entry.Value,
                key,
                isSigma ? "one number" : "one number, or two: [-0.2, 0.5]"
            );
            return null;
        }
        var low = table.NumberOf(list.Items[0], key, NumberRange.SignedFraction);
        var high = table.NumberOf(list.Items[1], key, NumberRange.SignedFraction);
        if (low > high)
        {
            table.Context.Diagnostics.Error(
                entry.Value.Where,
                $"\"{key}\" has its lower limit above its upper",
                "write the lower limit first"
            );
            return null;
        }
        return low is { } from && high is { } to ? new Tolerance(from, to, IsSigma: false) : null;
    }
}
