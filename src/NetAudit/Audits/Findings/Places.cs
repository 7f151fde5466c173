using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Audits.Findings;

/// <summary>What a resistor or capacitor is there for, and which values such parts have (<c>Data/plausible-values.csv</c>).</summary>
internal static class Places
{
    private static readonly Lazy<Dictionary<string, (double Low, double High)>> Ranges = new(Load);

    /// <summary>Lowest and highest value of parts in a place.</summary>
    public static (double Low, double High) Range(string place) => Ranges.Value[place];

    /// <summary>The places that an element holds, the most particular first.</summary>
    public static IEnumerable<string> Of(AuditContext context, Element element)
    {
        var (a, b) = (element.Terminals[0].Node, element.Terminals[1].Node);
        var tubes = context.Wiring.Devices.Where(device => device.IsTube).ToArray();
        bool IsRail(int node) => node == 0 || context.Rails.Contains(node);
        if (element is Capacitor)
        {
            if (IsRail(a) && IsRail(b))
            {
                yield return "rail capacitor";
            }
            else if (tubes.Any(tube => Joins(tube.Cathode, 0)))
            {
                yield return "cathode bypass";
            }
            else if (!IsRail(a) && !IsRail(b))
            {
                yield return "coupling capacitor";
            }
            yield return "capacitor";
            yield break;
        }
        if (tubes.Any(tube => Joins(tube.Cathode, 0) && tube.Grid != 0))
        {
            yield return "cathode resistor";
        }
        else if (tubes.Any(tube => Joins(tube.Grid, 0)))
        {
            yield return "grid leak";
        }
        else if (
            tubes.Any(tube =>
                (a == tube.Plate && b != 0 && IsRail(b)) || (b == tube.Plate && a != 0 && IsRail(a))
            )
        )
        {
            yield return "plate load";
        }
        yield return "resistor";

        bool Joins(int electrode, int other) =>
            electrode > 0 && ((a == electrode && b == other) || (b == electrode && a == other));
    }

    private static Dictionary<string, (double, double)> Load() =>
        EmbeddedTable
            .Read("plausible-values.csv")
            .ToDictionary(row => row["place"], row => (Number(row["low"]), Number(row["high"])));

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
