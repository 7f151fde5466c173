using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>How long the supply's capacitors stay dangerous, in words.</summary>
internal static class DischargeCaution
{
    /// <summary>The caution; none where no capacitor of a supply stands above 50 V.</summary>
    public static IEnumerable<string> Of(Amplifier amplifier)
    {
        var discharges = Discharge.Of(amplifier);
        if (discharges.IsEmpty)
        {
            yield break;
        }
        var slowest = discharges.MaxBy(d => d.Seconds ?? double.PositiveInfinity)!;
        var text =
            $"Left alone with cold tubes, {slowest.Part} falls from {Volts(slowest)} to 50 V in {Time(slowest.Seconds)}, "
            + "the others sooner";
        if (discharges.Length == 1)
        {
            text = text[..text.LastIndexOf(", the", StringComparison.Ordinal)];
        }
        if (!slowest.Bleeders.IsEmpty)
        {
            var open = discharges.MaxBy(d => d.WithoutBleeder ?? double.PositiveInfinity)!;
            text +=
                $"; with {string.Join(", ", slowest.Bleeders)} open {open.Part} takes {Time(open.WithoutBleeder)}";
        }
        yield return text + ". Never count on it: measure.";
    }

    private static string Volts(Discharge discharge) =>
        discharge.Volts.ToString("0", CultureInfo.InvariantCulture) + " V";

    private static string Time(double? seconds) =>
        seconds switch
        {
            null => "more than a day",
            < 1.5 => "about a second",
            < 90 => $"about {Rounded(seconds.Value)} s",
            < 90 * 60 => $"about {Rounded(seconds.Value / 60)} min",
            _ => $"about {Rounded(seconds.Value / 3600)} h",
        };

    // Two digits: the parts are not known better.
    private static string Rounded(double value) =>
        (value < 9.95 ? Math.Round(value, 1) : Math.Round(value)).ToString(
            CultureInfo.InvariantCulture
        );
}
