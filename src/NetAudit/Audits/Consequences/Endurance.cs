using System.Globalization;
using NetAudit.Audits.Stresses;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Audits.Consequences;

/// <summary>
/// How long parts live on too much heat: the temperature follows the power as through one resistance and one capacity, from where it was
/// before the fault, and the part is ruined when its rise reaches a multiple of the rise at its limit. Figures: <c>Data/endurance.csv</c>.
/// </summary>
internal static class Endurance
{
    private static readonly Lazy<Dictionary<string, Row>> Rows = new(Load);

    /// <summary>Class of the table for a stress, or null when heat does not decide.</summary>
    public static string? ClassOf(StressKind kind, Part? part) =>
        kind switch
        {
            StressKind.PlatePower => "plate",
            StressKind.ScreenPower => "screen",
            StressKind.WindingCurrent => "winding",
            StressKind.ForwardCurrent => "diode",
            StressKind.Power => part switch
            {
                { Class: PartClass.Potentiometer } => "potentiometer",
                { Class: PartClass.Resistor, Data.Kind: "wirewound" } => "wirewound",
                { Class: PartClass.Resistor } => "resistor",
                _ => "transistor",
            },
            _ => null,
        };

    /// <summary>Seconds until the part is ruined; infinite when it never is.</summary>
    /// <param name="class_">Class of the table.</param>
    /// <param name="ratio">The stress over its limit, with the fault.</param>
    /// <param name="before">The stress over its limit, before.</param>
    public static double Seconds(string class_, double ratio, double before)
    {
        var row = Rows.Value[class_];
        var (heat, from) = row.IsSquare ? (ratio * ratio, before * before) : (ratio, before);
        if (heat <= row.RuinedAt)
        {
            return double.PositiveInfinity;
        }
        return from >= row.RuinedAt
            ? 0
            : row.TimeConstant * Math.Log((heat - from) / (heat - row.RuinedAt));
    }

    private static Dictionary<string, Row> Load() =>
        EmbeddedTable
            .Read("endurance.csv")
            .ToDictionary(
                row => row["class"],
                row => new Row(
                    Number(row["time_constant_seconds"]),
                    Number(row["ruined_at"]),
                    row["heat"] == "square"
                )
            );

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private sealed record Row(double TimeConstant, double RuinedAt, bool IsSquare);
}
