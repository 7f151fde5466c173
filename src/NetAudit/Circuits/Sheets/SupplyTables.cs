using NetAudit.Netlists;

namespace NetAudit.Circuits.Sheets;

/// <summary><c>[[supply]]</c></summary>
internal static class SupplyTables
{
    private const string SolidState = "solid-state";

    private static readonly Dictionary<string, RectifierCircuit> Circuits = new(
        StringComparer.OrdinalIgnoreCase
    )
    {
        ["half-wave"] = RectifierCircuit.HalfWave,
        ["full-wave"] = RectifierCircuit.FullWave,
        ["bridge"] = RectifierCircuit.Bridge,
    };

    public static SupplyData Read(SheetTable table)
    {
        var supply = new SupplyData(
            table.Required("name"),
            table.RequiredName("source", NameKind.Source),
            table.Number("secondary", NumberRange.Positive) ?? 0,
            table.Number("winding_resistance", NumberRange.NotNegative) ?? 0,
            Rectifier(table),
            Connection(table),
            table.RequiredName("reservoir", NameKind.Capacitor),
            table.Number("frequency", NumberRange.Positive) ?? 50
        );
        table.Finish();
        return supply;
    }

    private static string? Rectifier(SheetTable table)
    {
        var text = table.Text("rectifier");
        if (text is null || text.Equals(SolidState, StringComparison.OrdinalIgnoreCase))
        {
            return null;
        }
        TubeTables.CheckType(table, "rectifier", text, "write a tube type or solid-state");
        return text;
    }

    private static RectifierCircuit Connection(SheetTable table)
    {
        if (table.Find("circuit") is not { } entry)
        {
            return RectifierCircuit.FullWave;
        }
        if (entry.Value is TomlText { Text: var text })
        {
            if (Circuits.TryGetValue(text, out var connection))
            {
                return connection;
            }
            table.Context.Diagnostics.Error(
                entry.Value.Where,
                $"\"{text}\" is no rectifier circuit",
                Suggestions.DidYouMean(text, Circuits.Keys)
                    ?? $"write one of {string.Join(", ", Circuits.Keys)}"
            );
            return RectifierCircuit.FullWave;
        }
        table.Wrong(entry.Value, "circuit", string.Join(", ", Circuits.Keys));
        return RectifierCircuit.FullWave;
    }
}
