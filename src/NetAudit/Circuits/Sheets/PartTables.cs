using System.Collections.Immutable;

namespace NetAudit.Circuits.Sheets;

/// <summary><c>[part.NAME]</c></summary>
internal static class PartTables
{
    public static ImmutableDictionary<string, PartData> Read(SheetTable? parts)
    {
        var found = ServiceSheet.Default.Parts.ToBuilder();
        foreach (var entry in parts?.Entries ?? [])
        {
            if (parts!.Table(entry.Key) is { } table)
            {
                var data = Data(table);
                if (data.Elements.IsEmpty)
                {
                    parts.Context.Names.Add(
                        new NameReference(NameKind.Part, entry.Key, entry.KeyWhere)
                    );
                }
                found[entry.Key] = data;
            }
        }
        return found.ToImmutable();
    }

    private static PartData Data(SheetTable table)
    {
        var data = new PartData
        {
            Tolerance = ToleranceTables.Read(table, "tolerance", isSigma: false),
            Power = table.Number("power", NumberRange.Positive),
            Voltage = table.Number("voltage", NumberRange.Positive),
            Current = table.Number("current", NumberRange.Positive),
            Type = table.Text("type"),
            Kind = table
                .Text("kind")
                ?.Trim()
                .ToLowerInvariant()
                .Replace(' ', '-')
                .Replace('_', '-'),
            Elements = table.Names("elements", NameKind.Element),
            TubeEmission = table.Number("tube_emission", NumberRange.Fraction),
            TubeGrid = table.Number("tube_grid", NumberRange.NotNegative),
        };
        table.Finish();
        return data;
    }
}
