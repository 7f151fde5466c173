using System.Collections.Immutable;
using NetAudit.Common;
using Tomlyn.Syntax;
using SourceSpan = NetAudit.Common.SourceSpan;

namespace NetAudit.Circuits.Sheets;

/// <summary>Turns TOML text into tables whose every key and value knows its place.</summary>
internal sealed class TomlDocument
{
    private readonly string file;
    private readonly DiagnosticList diagnostics;

    private TomlDocument(string file, DiagnosticList diagnostics)
    {
        this.file = file;
        this.diagnostics = diagnostics;
    }

    /// <summary>
    /// The document's top table. What could not be read is left out and reported, one diagnostic a line;
    /// <paramref name="sound"/> says whether nothing was.
    /// </summary>
    public static TomlTable Read(
        string text,
        string file,
        DiagnosticList diagnostics,
        out bool sound
    )
    {
        var document = TomlSyntax.Parse(text, file, diagnostics);
        var lastLine = -1;
        foreach (var message in document.Diagnostics)
        {
            // After a slip the parser stumbles on through the rest of the line; the first report is the useful one.
            if (message.Span.Start.Line != lastLine)
            {
                diagnostics.Error(
                    Place(file, message.Span),
                    $"this is not TOML: {message.Message.Replace('␤', ' ').TrimEnd('.')}",
                    null
                );
                lastLine = message.Span.Start.Line;
            }
        }
        sound = !document.HasErrors;
        return new TomlDocument(file, diagnostics).Tables(document);
    }

    private TomlTable Tables(DocumentSyntax document)
    {
        var top = new TomlTable([], new SourceSpan(file, 1, 1));
        Fill(top, document.KeyValues);
        foreach (var header in document.Tables)
        {
            if (header.Name is { Key: not null } name && Open(top, header, name) is { } table)
            {
                Fill(table, header.Items);
            }
        }
        return top;
    }

    private TomlTable? Open(TomlTable top, TableSyntaxBase header, KeySyntax name)
    {
        var path = Path(name);
        if (path.IsEmpty || Descend(top, path[..^1]) is not { } parent)
        {
            return null;
        }
        var (key, where) = path[^1];
        var found = parent.Find(key);
        if (header is TableArraySyntax)
        {
            if (found is { Value: not TomlList { OfTables: true } })
            {
                return Twice(found, where);
            }
            var list = found?.Value as TomlList;
            if (list is null)
            {
                list = new TomlList([], OfTables: true, where);
                parent.Entries.Add(new TomlEntry(key, where, list));
            }
            var item = new TomlTable([], where);
            list.Items.Add(item);
            return item;
        }
        if (found is { Value: TomlTable { Opened: false } open })
        {
            open.Opened = true;
            return open;
        }
        if (found is not null)
        {
            return Twice(found, where);
        }
        var table = new TomlTable([], where) { Opened = true };
        parent.Entries.Add(new TomlEntry(key, where, table));
        return table;
    }

    private TomlTable? Descend(TomlTable from, ImmutableArray<(string, SourceSpan)> path)
    {
        var at = from;
        foreach (var (key, where) in path)
        {
            switch (at.Find(key))
            {
                case null:
                    var table = new TomlTable([], where);
                    at.Entries.Add(new TomlEntry(key, where, table));
                    at = table;
                    break;
                case { Value: TomlTable inner }:
                    at = inner;
                    break;
                case { Value: TomlList { OfTables: true } list }:
                    at = (TomlTable)list.Items[^1];
                    break;
                case { } other:
                    return Twice(other, where);
            }
        }
        return at;
    }

    private TomlTable? Twice(TomlEntry first, SourceSpan where)
    {
        diagnostics.Error(
            where,
            $"\"{first.Key}\" is given twice; the first is in line {first.KeyWhere.Line}",
            "remove one of them, or give it another name"
        );
        return null;
    }

    private void Fill(TomlTable table, SyntaxList<KeyValueSyntax> pairs)
    {
        foreach (var pair in pairs)
        {
            Add(table, pair);
        }
    }

    private void Add(TomlTable table, KeyValueSyntax? pair)
    {
        if (pair is not { Key.Key: not null, Value: not null })
        {
            return;
        }
        var path = Path(pair.Key);
        if (path.IsEmpty || Descend(table, path[..^1]) is not { } parent)
        {
            return;
        }
        var (key, where) = path[^1];
        if (parent.Find(key) is { } first)
        {
            Twice(first, where);
            return;
        }
        parent.Entries.Add(new TomlEntry(key, where, Value(pair.Value)));
    }

    private TomlValue Value(ValueSyntax value)
    {
        var where = Place(file, value.Span);
        switch (value)
        {
            case StringValueSyntax text:
                return new TomlText(text.Value ?? "", where);
            case IntegerValueSyntax integer:
                return new TomlNumber(integer.Value, where);
            case FloatValueSyntax number:
                return new TomlNumber(number.Value, where);
            case BooleanValueSyntax flag:
                return new TomlFlag(flag.Value, where);
            case ArraySyntax array:
                var items = array
                    .Items.Where(item => item.Value is not null)
                    .Select(item => Value(item.Value!));
                return new TomlList([.. items], OfTables: false, where);
            case InlineTableSyntax inline:
                var table = new TomlTable([], where) { Opened = true };
                foreach (var item in inline.Items)
                {
                    Add(table, item.KeyValue);
                }
                return table;
            default:
                return new TomlOther(where);
        }
    }

    private ImmutableArray<(string Key, SourceSpan Where)> Path(KeySyntax key)
    {
        var path = ImmutableArray.CreateBuilder<(string, SourceSpan)>();
        Step(key.Key);
        foreach (var item in key.DotKeys)
        {
            Step(item.Key);
        }
        return path.ToImmutable();

        void Step(BareKeyOrStringValueSyntax? step)
        {
            var name = step switch
            {
                BareKeySyntax bare => bare.Key?.Text,
                StringValueSyntax text => text.Value,
                _ => null,
            };
            if (name is not null)
            {
                path.Add((name, Place(file, step!.Span)));
            }
        }
    }

    // The parser counts from 0 and its end is the last character itself.
    private static SourceSpan Place(string file, Tomlyn.Syntax.SourceSpan span)
    {
        var oneLine = span.Start.Line == span.End.Line;
        var length = oneLine ? span.End.Column - span.Start.Column + 1 : 1;
        return new(file, span.Start.Line + 1, span.Start.Column + 1, Math.Max(1, length));
    }
}
