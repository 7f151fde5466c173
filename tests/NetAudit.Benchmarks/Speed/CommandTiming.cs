using System.Diagnostics;
using NetAudit.Benchmarks.Figures;

namespace NetAudit.Benchmarks.Speed;

/// <summary>The built command from start to answer.</summary>
internal static class CommandTiming
{
    /// <summary>Median seconds of <c>netaudit diagnose</c>; NaN when the command is not built.</summary>
    public static double Diagnose(string command, string netlist, string readings)
    {
        if (!File.Exists(command))
        {
            return double.NaN;
        }
        void Once()
        {
            var start = new ProcessStartInfo("dotnet", [command, "diagnose", netlist, readings])
            {
                RedirectStandardOutput = true,
                RedirectStandardError = true,
            };
            using var process = Process.Start(start)!;
            process.StandardOutput.ReadToEnd();
            process.WaitForExit();
        }
        Once();
        return Machine.MedianMilliseconds(7, Once) / 1000;
    }
}
