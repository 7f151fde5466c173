using System.Collections.Immutable;
using NetAudit.Circuits.Tubes;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Sheets;

/// <summary><c>[[tube]]</c></summary>
internal static class TubeTables
{
    public static TubeData Read(SheetTable table)
    {
        var name = table.Required("name");
        var type = table.Text("type");
        var sections = Sections(table);
        var pins = Pins(table);
        if (pins.IsEmpty)
        {
            CheckType(table, "type", type, "give its pins: pins = { \"1\" = \"XV1.plate\", … }");
        }
        table.Finish();
        return new TubeData(name, type, sections, pins);
    }

    /// <summary>Reports a type that the base table lacks.</summary>
    public static void CheckType(SheetTable table, string key, string? type, string mend)
    {
        if (type is not null && TubeCatalogue.Find(type) is null)
        {
            var known = TubeCatalogue.All.SelectMany(found => found.Aliases.Prepend(found.Name));
            table.Context.Diagnostics.Error(
                table.Find(key)!.Value.Where,
                $"the base table has no tube type \"{type}\"",
                Suggestions.DidYouMean(type, known) ?? mend
            );
        }
    }

    private static ImmutableArray<(string, string)> Sections(SheetTable table)
    {
        if (table.Table("sections") is not { } given)
        {
            return [];
        }
        var sections = ImmutableArray.CreateBuilder<(string, string)>();
        foreach (var entry in given.Entries)
        {
            given.Context.Names.Add(new NameReference(NameKind.Device, entry.Key, entry.KeyWhere));
            // A tube of one section has no letter.
            if (entry.Value is TomlText section)
            {
                sections.Add((entry.Key, section.Text));
            }
            else
            {
                given.Wrong(entry.Value, entry.Key, "the section's letter in quotes, or \"\"");
            }
        }
        return sections.ToImmutable();
    }

    private static ImmutableArray<TubePinData> Pins(SheetTable table)
    {
        if (table.Table("pins") is not { } given)
        {
            return [];
        }
        var pins = ImmutableArray.CreateBuilder<TubePinData>();
        foreach (var entry in given.Entries)
        {
            if (given.TextOf(entry.Value, entry.Key) is not { } text)
            {
                continue;
            }
            // Instance names may hold dots (XCH1.XV1A.plate): the electrode is what follows the last.
            var dot = text.LastIndexOf('.');
            var word = text[(dot + 1)..];
            if (ElectrodeNames.Find(word) is not { } electrode)
            {
                given.Context.Diagnostics.Error(
                    entry.Value.Where,
                    $"\"{word}\" is no electrode",
                    Suggestions.DidYouMean(word, ElectrodeNames.Words)
                        ?? $"write one of {string.Join(", ", ElectrodeNames.Words)}"
                );
                continue;
            }
            var instance = dot > 0 ? text[..dot] : null;
            if (instance is not null)
            {
                given.Context.Names.Add(
                    new NameReference(NameKind.Device, instance, entry.Value.Where)
                );
            }
            pins.Add(new TubePinData(entry.Key, instance, electrode));
        }
        return pins.ToImmutable();
    }
}
