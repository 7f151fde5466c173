using System.Globalization;
using System.Text;
using NetAudit.Circuits;
using NetAudit.Reference.Units;
using NetAudit.Reference.Units.Evidence;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>A unit's displayed volts as the readings file a repairer would write.</summary>
internal static class UnitReadings
{
    public static string Csv(Amplifier amplifier, Unit unit)
    {
        var text = new StringBuilder("at,kind,value,ref,condition,note\n");
        for (var i = 0; i < unit.Nodes.Length; i++)
        {
            var volts = unit.Displayed[i].ToString("0.#####", CultureInfo.InvariantCulture);
            text.Append(
                CultureInfo.InvariantCulture,
                $"{amplifier.Circuit.Nodes[unit.Nodes[i]].Name},dc,{volts},,,\n"
            );
        }
        return text.ToString();
    }

    /// <summary>Readings of every kind and condition.</summary>
    public static string Csv(Amplifier amplifier, IEnumerable<UnitReading> readings)
    {
        var text = new StringBuilder("at,kind,value,ref,condition,note\n");
        foreach (var (kind, node, condition, shown) in readings)
        {
            var value = double.IsInfinity(shown)
                ? "OL"
                : shown.ToString("0.#####", CultureInfo.InvariantCulture);
            text.Append(
                CultureInfo.InvariantCulture,
                $"{amplifier.Circuit.Nodes[node].Name},{kind},{value},,{condition},\n"
            );
        }
        return text.ToString();
    }
}
