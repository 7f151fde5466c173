using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Sheets;

/// <summary>
/// Reads the keys of one table of a sheet. Every key that is asked for is known; <see cref="Finish"/> reports the others. A value of
/// the wrong type or outside its range is reported and read as absent.
/// </summary>
internal sealed class SheetTable(TomlTable table, string title, SheetContext context)
{
    private readonly List<string> known = [];

    public SheetContext Context => context;

    /// <summary>Where the table stands.</summary>
    public SourceSpan Where => table.Where;

    public IReadOnlyList<TomlEntry> Entries => table.Entries;

    /// <summary>The entry of that key, which is known from now on, or null.</summary>
    public TomlEntry? Find(string key)
    {
        known.Add(key);
        return table.Find(key);
    }

    public string? Text(string key) => Find(key) is { } entry ? TextOf(entry.Value, key) : null;

    /// <summary>The text of a key that the table cannot do without; empty when it is missing, which is reported.</summary>
    public string Required(string key)
    {
        if (Find(key) is { } entry)
        {
            return TextOf(entry.Value, key) ?? "";
        }
        Missing(key);
        return "";
    }

    /// <summary>A name that has to exist in the circuit.</summary>
    public string? Name(string key, NameKind kind)
    {
        if (Find(key) is not { } entry || TextOf(entry.Value, key) is not { } name)
        {
            return null;
        }
        context.Names.Add(new NameReference(kind, name, entry.Value.Where));
        return name;
    }

    public string RequiredName(string key, NameKind kind)
    {
        if (table.Find(key) is null)
        {
            known.Add(key);
            Missing(key);
            return "";
        }
        return Name(key, kind) ?? "";
    }

    public ImmutableArray<string> Names(string key, NameKind kind)
    {
        if (Find(key) is not { } entry)
        {
            return [];
        }
        if (entry.Value is not TomlList { OfTables: false } list)
        {
            Wrong(entry.Value, key, "a list of names, [\"A\", \"B\"]");
            return [];
        }
        var names = ImmutableArray.CreateBuilder<string>();
        foreach (var item in list.Items)
        {
            if (TextOf(item, key) is { } name)
            {
                context.Names.Add(new NameReference(kind, name, item.Where));
                names.Add(name);
            }
        }
        return names.ToImmutable();
    }

    public double? Number(string key, NumberRange range) =>
        Find(key) is { } entry ? NumberOf(entry.Value, key, range) : null;

    public bool Flag(string key)
    {
        if (Find(key) is not { } entry)
        {
            return false;
        }
        if (entry.Value is TomlFlag flag)
        {
            return flag.Flag;
        }
        Wrong(entry.Value, key, "true or false");
        return false;
    }

    /// <summary>A plain number, or a text in engineering notation (<c>"10M"</c>) or per cent (<c>"5%"</c>).</summary>
    public double? NumberOf(TomlValue value, string key, NumberRange range)
    {
        var number = value switch
        {
            TomlNumber plain => plain.Number,
            TomlText { Text: var text } when text.TrimEnd().EndsWith('%') => Percent(text),
            TomlText { Text: var text } when EngineeringNotation.TryParse(text, out var parsed) =>
                parsed,
            _ => double.NaN,
        };
        if (!double.IsFinite(number))
        {
            Wrong(value, key, "a number, 10e6 or \"10M\"");
            return null;
        }
        if (!range.Holds(number))
        {
            context.Diagnostics.Error(
                value.Where,
                $"\"{key}\" of {title} cannot be {EngineeringNotation.Format(number)}",
                $"give a value {range.Words}"
            );
            return null;
        }
        return number;
    }

    public string? TextOf(TomlValue value, string key)
    {
        if (value is TomlText { Text: var text } && !string.IsNullOrWhiteSpace(text))
        {
            return text;
        }
        Wrong(value, key, "a text in quotes");
        return null;
    }

    public SheetTable? Table(string key)
    {
        if (Find(key) is not { } entry)
        {
            return null;
        }
        if (entry.Value is TomlTable inner)
        {
            return new SheetTable(inner, $"{title}.{key}", context);
        }
        Wrong(entry.Value, key, "a table, { … }");
        return null;
    }

    /// <summary>The tables of a <c>[[key]]</c> list.</summary>
    public IEnumerable<SheetTable> Tables(string key)
    {
        if (Find(key) is not { } entry)
        {
            return [];
        }
        if (entry.Value is TomlList list && list.Items.TrueForAll(item => item is TomlTable))
        {
            return list.Items.Select(item => new SheetTable(
                (TomlTable)item,
                $"[[{key}]]",
                context
            ));
        }
        Wrong(entry.Value, key, $"a list of tables: head each with [[{key}]]");
        return [];
    }

    public void Wrong(TomlValue value, string key, string expected) =>
        context.Diagnostics.Error(
            value.Where,
            $"\"{key}\" of {title} has the wrong type",
            $"give {expected}"
        );

    public void Finish()
    {
        foreach (var entry in table.Entries.Where(entry => !known.Contains(entry.Key)))
        {
            context.Diagnostics.Error(
                entry.KeyWhere,
                $"{title} has no key \"{entry.Key}\"",
                Suggestions.DidYouMean(entry.Key, known)
                    ?? $"its keys are {string.Join(", ", known)}"
            );
        }
    }

    private void Missing(string key)
    {
        if (context.Sound)
        {
            context.Diagnostics.Error(
                table.Where,
                $"{title} lacks \"{key}\"",
                $"add {key} = \"…\""
            );
        }
    }

    private static double Percent(string text) =>
        EngineeringNotation.TryParse(text.AsSpan().TrimEnd()[..^1], out var value)
            ? value / 100
            : double.NaN;
}
