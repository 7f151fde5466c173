using NetAudit.Common;

namespace NetAudit.Circuits.Sheets;

/// <summary><c>[[fuse]]</c></summary>
internal static class FuseTables
{
    // Time characteristics of IEC 60127, quickest first.
    private static readonly string[] Speeds = ["FF", "F", "M", "T", "TT"];

    public static FuseData Read(SheetTable table)
    {
        var name = table.Required("name");
        var element = table.RequiredName("element", NameKind.Resistor);
        var (amps, speed) = Rating(table, "rating");
        table.Finish();
        return new FuseData(name, element, amps, speed);
    }

    /// <summary>The fuse before the primary, <c>[mains] fuse = "2A T"</c>; null when the sheet does not name it.</summary>
    public static FuseData? ReadMains(SheetTable mains) =>
        Rating(mains, "fuse") is ({ } amps, var speed) ? new("Mains fuse", "", amps, speed) : null;

    // 500mA T, T500mA, T 500 mA, 2A
    private static (double? Amps, string? Speed) Rating(SheetTable table, string key)
    {
        if (table.Find(key) is not { } entry)
        {
            return (null, null);
        }
        if (entry.Value is TomlNumber)
        {
            return (table.NumberOf(entry.Value, key, NumberRange.Positive), null);
        }
        if (table.TextOf(entry.Value, key) is not { } text)
        {
            return (null, null);
        }
        var rest = text.Trim();
        var before = rest.TakeWhile(char.IsLetter).Count();
        var speed = rest[..before].ToUpperInvariant();
        rest = rest[before..];
        var after = rest.LastIndexOf(' ');
        if (before == 0 && after > 0 && Speeds.Contains(rest[(after + 1)..].ToUpperInvariant()))
        {
            speed = rest[(after + 1)..].ToUpperInvariant();
            rest = rest[..after];
        }
        var known = speed.Length == 0 || Speeds.Contains(speed);
        if (!known || !EngineeringNotation.TryParse(rest, out var amps) || amps <= 0)
        {
            table.Context.Diagnostics.Error(
                entry.Value.Where,
                $"\"{text}\" is no fuse rating",
                "write the current and the speed letter, \"500mA T\""
            );
            return (null, null);
        }
        return (amps, speed.Length == 0 ? null : speed);
    }
}
