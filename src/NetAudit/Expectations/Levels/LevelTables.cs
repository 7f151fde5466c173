using System.Globalization;
using System.Text;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations.Levels;

/// <summary>Levels and responses as CSV, culture-invariant.</summary>
public static class LevelTables
{
    /// <summary>A line a point: <c>at,volts,phase</c>; volts RMS, degrees.</summary>
    public static string ToCsv(Amplifier amplifier, SignalLevels levels)
    {
        var text = new StringBuilder("at,volts,phase\n");
        foreach (var level in levels.Points)
        {
            Line(text, level.Point.ShortName(amplifier), level.Volts, level.Phase);
        }
        return text.ToString();
    }

    /// <summary>A line a frequency: <c>frequency,gain,gain_db,phase</c>; hertz, volts per volt, decibels, degrees.</summary>
    public static string ToCsv(FrequencyResponse response)
    {
        var text = new StringBuilder("frequency,gain,gain_db,phase\n");
        foreach (var point in response.Points)
        {
            Line(
                text,
                Text(point.Frequency),
                System.Numerics.Complex.Abs(point.Gain),
                point.Decibels,
                point.Phase
            );
        }
        return text.ToString();
    }

    private static void Line(StringBuilder text, string first, params ReadOnlySpan<double> numbers)
    {
        text.Append(first);
        foreach (var number in numbers)
        {
            text.Append(',').Append(Text(number));
        }
        text.Append('\n');
    }

    private static string Text(double value) =>
        double.IsFinite(value)
            ? EngineeringNotation
                .RoundSignificant(value, 7)
                .ToString("R", CultureInfo.InvariantCulture)
            : "";
}
