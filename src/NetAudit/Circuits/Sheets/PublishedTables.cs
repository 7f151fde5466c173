using System.Collections.Immutable;

namespace NetAudit.Circuits.Sheets;

/// <summary><c>[published]</c>: <c>p1 = 182.0</c> or <c>p1 = { dc = 182.0, limits = 0.20 }</c></summary>
internal static class PublishedTables
{
    // Schematic voltages hold within 20 %: common practice, no source.
    private const double UsualLimits = 0.20;

    public static ImmutableArray<PublishedVoltage> Read(SheetTable? published)
    {
        var found = ImmutableArray.CreateBuilder<PublishedVoltage>();
        foreach (var entry in published?.Entries ?? [])
        {
            published!.Context.Names.Add(
                new NameReference(NameKind.Node, entry.Key, entry.KeyWhere)
            );
            if (entry.Value is not TomlTable)
            {
                var volts = published.NumberOf(entry.Value, entry.Key, NumberRange.Any);
                found.Add(new PublishedVoltage(entry.Key, volts, null, UsualLimits));
            }
            else if (published.Table(entry.Key) is { } table)
            {
                found.Add(
                    new PublishedVoltage(
                        entry.Key,
                        table.Number("dc", NumberRange.Any),
                        table.Number("ac", NumberRange.NotNegative),
                        table.Number("limits", NumberRange.Fraction) ?? UsualLimits
                    )
                );
                table.Finish();
            }
        }
        return found.ToImmutable();
    }
}
