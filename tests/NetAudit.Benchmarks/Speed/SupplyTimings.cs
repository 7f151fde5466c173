using System.Globalization;
using System.Text;
using NetAudit.Circuits;

namespace NetAudit.Benchmarks.Speed;

/// <summary>What a supply given by its parts costs a re-solve, against the ideal source in its place, in the same run.</summary>
internal static class SupplyTimings
{
    private const string Ending = "-supply.sheet.toml";

    /// <summary>A table of every sample that has such a sheet.</summary>
    public static string Section(string samples)
    {
        var section = new StringBuilder();
        section.AppendLine();
        section.AppendLine(
            "| rails from | ideal source, warm re-solve | transformer and rectifier | ratio |"
        );
        section.AppendLine("| --- | --- | --- | --- |");
        foreach (
            var sheet in Directory.GetFiles(samples, "*" + Ending).Order(StringComparer.Ordinal)
        )
        {
            var name = Path.GetFileName(sheet)[..^Ending.Length];
            var netlist = Path.Combine(samples, name + ".cir");
            var plain = Microseconds(name, AmplifierReader.Read(netlist).Amplifier!);
            var supplied = Microseconds(name, AmplifierReader.Read(netlist, sheet).Amplifier!);
            var row = string.Create(
                CultureInfo.InvariantCulture,
                $"| {name} | {plain:0.0} us | {supplied:0.0} us | {supplied / plain:0.0} |"
            );
            section.AppendLine(row);
            Console.WriteLine(row);
        }
        return section.ToString();
    }

    private static double Microseconds(string name, Amplifier amplifier) =>
        SolverTimings.WarmResolve(new(name, "", amplifier.Circuit)).Microseconds;
}
