namespace NetAudit.Circuits.Sheets;

/// <summary>The tables that only the audit uses: <c>[[accept]] [[heater]] [rating] [[touch]]</c></summary>
internal static class AuditTables
{
    public static AcceptData Accept(SheetTable table)
    {
        var accept = new AcceptData(
            table.Required("code"),
            table.Required("where"),
            table.Required("reason"),
            table.Where
        );
        table.Finish();
        return accept;
    }

    public static HeaterData Heater(SheetTable table)
    {
        var heater = new HeaterData(
            table.Required("name"),
            table.Number("volts", NumberRange.Positive) ?? 6.3,
            table.Number("amps", NumberRange.Positive),
            table.Names("tubes", NameKind.Part),
            table.Number("elevation", NumberRange.Any) ?? 0,
            table.Where
        );
        table.Finish();
        return heater;
    }

    public static RatingData Rating(SheetTable? table)
    {
        if (table is null)
        {
            return RatingData.None;
        }
        var rating = new RatingData(
            table.Number("resistor", NumberRange.Positive),
            table.Number("potentiometer", NumberRange.Positive),
            table.Number("capacitor", NumberRange.Positive),
            table.Number("electrolytic", NumberRange.Positive)
        );
        table.Finish();
        return rating;
    }

    public static TouchData Touch(SheetTable table)
    {
        var touch = new TouchData(
            table.Required("name"),
            table.RequiredName("node", NameKind.Node)
        );
        table.Finish();
        return touch;
    }
}
