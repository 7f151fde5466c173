using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;

namespace NetAudit.Benchmarks.Figures;

/// <summary>Clock and machine.</summary>
internal static class Machine
{
    private const double WarmUpSeconds = 3;

    public static string Description =>
        $"{RuntimeInformation.FrameworkDescription}, {RuntimeInformation.OSDescription.Split('\n')[0]}, {Processor()}, {Environment.ProcessorCount} cores; one core used.";

    /// <summary>
    /// Repeats a run until the compiler has reached its final code: it looks at a method again only some tenths of a second after the last
    /// new one, later on a busy machine, and some of its choices need a second look.
    /// </summary>
    public static void WarmUp(Action run)
    {
        var start = Stopwatch.GetTimestamp();
        do
        {
            run();
        } while (Stopwatch.GetElapsedTime(start).TotalSeconds < WarmUpSeconds);
    }

    /// <summary>Median of the times of <paramref name="repeats"/> runs, in milliseconds.</summary>
    public static double MedianMilliseconds(int repeats, Action run)
    {
        var times = new double[repeats];
        for (var i = 0; i < repeats; i++)
        {
            var start = Stopwatch.GetTimestamp();
            run();
            times[i] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        }
        return Median(times);
    }

    public static double Median(double[] values)
    {
        Array.Sort(values);
        var middle = values.Length / 2;
        return values.Length % 2 == 1 ? values[middle] : (values[middle - 1] + values[middle]) / 2;
    }

    public static string Number(double value, string format = "0.###") =>
        value.ToString(format, CultureInfo.InvariantCulture);

    private static string Processor()
    {
        const string File = "/proc/cpuinfo";
        var line = System.IO.File.Exists(File)
            ? System
                .IO.File.ReadLines(File)
                .FirstOrDefault(l => l.StartsWith("model name", StringComparison.Ordinal))
            : null;
        return line?.Split(':')[1].Trim() ?? "unknown processor";
    }
}
