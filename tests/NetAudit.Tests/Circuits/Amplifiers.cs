using NetAudit.Circuits;
using NetAudit.Common;
using Xunit;

namespace NetAudit.Tests.Circuits;

/// <summary>Amplifiers for tests.</summary>
internal static class Amplifiers
{
    /// <summary>The sample circuits' netlists.</summary>
    public static TheoryData<string> Samples =>
        [
            .. Directory
                .GetFiles(Repository.File("sample-circuits"), "*.cir")
                .Select(path => Path.GetFileName(path))
                .Order(StringComparer.Ordinal),
        ];

    public static Amplifier Sample(string netlist, bool withSheet = true)
    {
        var path = Repository.File(Path.Combine("sample-circuits", netlist));
        var result = withSheet
            ? AmplifierReader.Read(path)
            : AmplifierReader.ReadText(CircuitReader.ReadFile(path), null);
        return Sound(result);
    }

    /// <summary>An amplifier of cards; the title line and the tube library are added.</summary>
    public static Amplifier Of(string cards, string? sheet = null) => Sound(Read(cards, sheet));

    public static AmplifierReadResult Read(string cards, string? sheet)
    {
        var netlist = CircuitReader.ReadText($"test\n.include tubes.lib\n{cards}\n", "test.cir");
        return AmplifierReader.ReadText(netlist, sheet, "test.sheet.toml");
    }

    private static Amplifier Sound(AmplifierReadResult result)
    {
        Assert.DoesNotContain(
            result.Diagnostics,
            diagnostic => diagnostic.Severity >= Severity.Warning
        );
        return result.Amplifier!;
    }
}
