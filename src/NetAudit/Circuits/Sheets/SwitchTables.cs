using System.Collections.Immutable;

namespace NetAudit.Circuits.Sheets;

/// <summary><c>[[switch]]</c></summary>
internal static class SwitchTables
{
    public static SwitchData Read(SheetTable table)
    {
        var name = table.Required("name");
        var positions = ImmutableArray.CreateBuilder<SwitchPosition>();
        if (table.Table("positions") is { } given)
        {
            foreach (var entry in given.Entries)
            {
                if (given.Table(entry.Key) is { } settings)
                {
                    positions.Add(new SwitchPosition(entry.Key, Settings(settings)));
                }
            }
        }
        table.Finish();
        return new SwitchData(name, positions.ToImmutable());
    }

    private static ImmutableSortedDictionary<string, double> Settings(SheetTable table)
    {
        var settings = ImmutableSortedDictionary.CreateBuilder<string, double>(
            StringComparer.OrdinalIgnoreCase
        );
        foreach (var entry in table.Entries)
        {
            table.Context.Names.Add(new NameReference(NameKind.Setting, entry.Key, entry.KeyWhere));
            var value = entry.Value switch
            {
                TomlText { Text: "open" } => double.PositiveInfinity,
                TomlText { Text: "closed" } => 0,
                _ => table.NumberOf(entry.Value, entry.Key, NumberRange.Any),
            };
            if (value is { } known)
            {
                settings[entry.Key] = known;
            }
        }
        return settings.ToImmutable();
    }
}
