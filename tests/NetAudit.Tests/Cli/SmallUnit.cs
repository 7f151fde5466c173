using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Tests.Cli;

/// <summary>One transistor stage, small enough to be weighed in a moment, in files of its own folder.</summary>
internal sealed class SmallUnit : IDisposable
{
    private const string Netlist = """
        Small stage
        VCC  b 0 24
        R1   b n1 100k
        R2   n1 0 22k
        Q1   c n1 e QN
        R3   b c 4.7k
        R4   e 0 1k
        .model QN NPN(BF=200)
        .end

        """;

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("netaudit-");

    public SmallUnit() => File.WriteAllText(Circuit, Netlist);

    /// <summary>Path of the netlist.</summary>
    public string Circuit => Path("small.cir");

    /// <summary>Path of a file beside the netlist.</summary>
    public string Path(string name) => System.IO.Path.Combine(_folder.FullName, name);

    /// <summary>Writes a file beside the netlist.</summary>
    public string Write(string name, string text)
    {
        File.WriteAllText(Path(name), text);
        return Path(name);
    }

    /// <summary>The readings of a unit in which one card reads differently, as a file; no change gives a healthy one.</summary>
    public string Readings(string card = "", string faulty = "")
    {
        var text =
            card.Length == 0 ? Netlist : Netlist.Replace(card, faulty, StringComparison.Ordinal);
        var unit = AmplifierReader.ReadText(CircuitReader.ReadText(text, "unit"), null).Amplifier!;
        var rows = Expectation
            .Of(unit)
            .Readings.Select(reading => $"{reading.Point.Name},{MeterText.Volts(reading.Mean)}");
        return Write("readings.csv", $"at,value\n{string.Join("\n", rows)}\n");
    }

    public void Dispose() => _folder.Delete(recursive: true);
}
