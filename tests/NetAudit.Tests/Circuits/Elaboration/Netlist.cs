using NetAudit.Circuits;
using NetAudit.Common;
using Xunit;

namespace NetAudit.Tests.Circuits.Elaboration;

/// <summary>Reads netlists given as cards; the title line is put before them.</summary>
internal static class Netlist
{
    public static CircuitReadResult Read(string cards) =>
        CircuitReader.ReadText("Title\n" + cards, "test.cir");

    /// <summary>The circuit; fails on any error.</summary>
    public static Circuit Circuit(string cards)
    {
        var result = Read(cards);
        Assert.True(result.Circuit is not null, string.Join('\n', result.Diagnostics));
        return result.Circuit;
    }

    public static T Element<T>(string cards, string name)
        where T : Element
    {
        var circuit = Circuit(cards);
        var index = circuit.FindElement(name);
        Assert.True(index >= 0, $"no element {name}");
        return Assert.IsType<T>(circuit.Elements[index]);
    }

    public static List<Diagnostic> Of(string cards, Severity severity) =>
        [.. Read(cards).Diagnostics.Where(diagnostic => diagnostic.Severity == severity)];
}
