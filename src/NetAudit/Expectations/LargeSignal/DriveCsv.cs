using System.Globalization;
using System.Text;
using NetAudit.Circuits;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>A drive sweep as a table for a spreadsheet.</summary>
public static class DriveCsv
{
    /// <summary>
    /// One row a level: RMS volts of the drive, whether it settled, RMS volts and watts at the load, distortion as a share, RMS volts of
    /// the harmonics, and of the fundamental at each place of the path.
    /// </summary>
    public static string ToText(Amplifier amplifier, DriveSweep sweep)
    {
        var text = new StringBuilder("drive,settled,load,watts,distortion");
        for (var harmonic = 2; harmonic <= Spectrum.Highest; harmonic++)
        {
            text.Append(CultureInfo.InvariantCulture, $",h{harmonic}");
        }
        foreach (var (_, node) in sweep.Setup?.Path ?? [])
        {
            text.Append(',').Append(amplifier.Circuit.Nodes[node].Name);
        }
        text.Append('\n');
        foreach (var point in sweep.Points)
        {
            text.AppendJoin(
                    ',',
                    [
                        Figure(point.Drive),
                        point.Settled ? "yes" : "no",
                        Figure(point.Load?.Fundamental),
                        Figure(point.Watts),
                        Figure(point.Load?.Distortion),
                        .. point.Load?.Harmonics.Select(h => Figure(h)) ?? [],
                        .. point.Path.Select(level => Figure(level.Fundamental)),
                    ]
                )
                .Append('\n');
        }
        return text.ToString();
    }

    private static string Figure(double? value) =>
        value?.ToString("G7", CultureInfo.InvariantCulture) ?? "";
}
