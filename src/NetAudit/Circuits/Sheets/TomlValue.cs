using NetAudit.Common;

namespace NetAudit.Circuits.Sheets;

/// <summary>A value of a TOML document with its place.</summary>
internal abstract record TomlValue(SourceSpan Where);

internal sealed record TomlText(string Text, SourceSpan Where) : TomlValue(Where);

internal sealed record TomlNumber(double Number, SourceSpan Where) : TomlValue(Where);

internal sealed record TomlFlag(bool Flag, SourceSpan Where) : TomlValue(Where);

/// <summary>A date or time, which no key of a sheet takes, or a value the parser could not make out.</summary>
internal sealed record TomlOther(SourceSpan Where) : TomlValue(Where);

internal sealed record TomlList(List<TomlValue> Items, bool OfTables, SourceSpan Where)
    : TomlValue(Where);

internal sealed record TomlEntry(string Key, SourceSpan KeyWhere, TomlValue Value);

/// <summary>A table; entries in document order. Mutable only while the document is read.</summary>
internal sealed record TomlTable(List<TomlEntry> Entries, SourceSpan Where) : TomlValue(Where)
{
    /// <summary>True once a header has opened this very table, as against one of its sub-tables.</summary>
    public bool Opened { get; set; }

    public TomlEntry? Find(string key) => Entries.Find(entry => entry.Key == key);
}
