using NetAudit.Audits.Findings;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Audits.Findings;

/// <summary>One circuit for each code, sound but for that; and circuits that are sound.</summary>
public sealed class CircuitAuditTests
{
    private const string SoundStage = """
        VHT  b 0 250
        RB   b b1 1k
        CB   b1 0 47u
        VIN  in 0 DC 0 AC 1
        R1   in 0 1Meg
        R2   in g 68k
        XV1A p g k 12AX7
        R3   b1 p 100k
        R4   k 0 1.5k
        C1   k 0 25u
        C2   p out 22n
        R5   out 0 1Meg
        """;

    private const string Second = """

        XV1B p2 out k2 12AX7
        R6   b1 p2 100k
        R7   k2 0 1.5k
        """;

    private const string Sound = SoundStage + Second;

    public static TheoryData<string, string, string, string> BadCircuits =>
        new()
        {
            { "lone-node", "x", Sound + "\nC9 p2 x 22n\nR9 p2 0 1Meg", "" },
            {
                "near-names",
                "cuthode",
                With("R7   k2 0 1.5k", "R7 cuthode 0 1.5k")
                    .Replace("out k2 ", "out cathode ", StringComparison.Ordinal)
                    + "\nR8 cathode 0 2.2k",
                ""
            },
            { "mixed-case", "p2", With("R6   b1 p2", "R6   b1 P2"), "" },
            { "no-dc-path", "x", Sound + "\nC8 p2 x 22n\nC9 x 0 22n", "" },
            { "grid-return", "XV1B", With("R5   out 0", "R5   b 0"), "" },
            { "cathode-path", "XV1B", With("R7   k2 0 1.5k", "C7   k2 0 25u"), "" },
            { "source-loop", "L2", Sound + "\nL1 b x 10\nL2 b x 10\nR9 x 0 100k", "" },
            { "source-loop", "L1", Sound + "\nL1 in 0 1", "" },
            { "current-cut", "I1", Sound + "\nI1 b x 1m\nC8 x 0 22n\nC9 x b 22n", "" },
            { "self-shorted", "C1", With("C1   k 0", "C1   k k"), "" },
            { "self-shorted", "XV1B", With("XV1B p2 out k2", "XV1B k2 out k2"), "" },
            { "no-reservoir", "b1", Without("CB   b1 0 47u"), "" },
            { "dc-on-grid", "XV1B", Sound + "\nR9 p out 220k", "" },
            { "wrong-polarity", "C1", With("C1   k 0", "C1   0 k"), "" },
            { "idle-section", "V1", SoundStage, "" },
            { "heater-supply", "V1", Sound, Heater("12.6", "150m", "") },
            { "heater-supply", "V1", Sound, Heater("9", "1", "\"V1\"") },
            { "heater-supply", "Heater", Sound, Heater("6.3", "200m", "\"V1\"") },
            { "off-series", "R3", With("100k", "101k"), "" },
            {
                "off-series",
                "R3",
                With("R3   b1 p 100k", "R3   b1 p 105k"),
                "[part.R3]\ntolerance = 0.05"
            },
            { "odd-value", "C2", With("22n", "22"), "" },
            { "odd-value", "R5", With("R5   out 0 1Meg", "R5   out 0 1M"), "" },
            { "unused-definition", "QX", Sound + "\n.model QX NPN(BF=100)", "" },
            { "unused-definition", "PAD", Sound + "\n.subckt PAD a b\nR1 a b 1k\n.ends", "" },
            { "no-operating-point", "circuit", Sound + "\nV9 b 0 300", "" },
            { "idle-accept", "R99", Sound, Accept("off-series", "R99") },
            { "idle-accept", "R3", With("100k", "101k"), Accept("of-series", "R3") },
        };

    [Theory]
    [MemberData(nameof(BadCircuits))]
    public void Check_BadCircuit_HasItsFinding(string code, string at, string cards, string sheet)
    {
        var findings = CircuitAudit.Check(Amplifiers.Read(cards, sheet).Amplifier!);

        var finding = Assert.Single(findings, finding => finding.Code.Name == code);
        Assert.Equal(at, finding.At);
        Assert.Null(finding.Accepted);
        Assert.NotEmpty(finding.Mend);
        Assert.NotNull(finding.Where);
    }

    [Fact]
    public void BadCircuits_OfEveryCode_AreThere() =>
        Assert.Empty(
            FindingCode
                .All.Select(code => code.Name)
                .Except(BadCircuits.Select(row => row.Data.Item1))
        );

    [Fact]
    public void Check_SoundCircuit_FindsNothing() =>
        Assert.Empty(CircuitAudit.Check(Amplifiers.Of(Sound)));

    [Theory]
    [MemberData(nameof(Amplifiers.Samples), MemberType = typeof(Amplifiers))]
    public void Check_SampleCircuit_FindsNothing(string netlist) =>
        Assert.Empty(
            CircuitAudit
                .Check(Amplifiers.Sample(netlist))
                .Where(finding => finding.Accepted is null)
                .Select(finding => finding.Message)
        );

    [Fact]
    public void Check_AcceptedFinding_KeepsTheReason()
    {
        var amplifier = Amplifiers.Of(With("100k", "101k"), Accept("off-series", "R3"));

        var finding = Assert.Single(CircuitAudit.Check(amplifier));

        Assert.Equal("measured", finding.Accepted);
    }

    [Fact]
    public void Check_Finding_PointsToItsCard()
    {
        var amplifier = Amplifiers.Of(With("C1   k 0", "C1   0 k"));

        var where = Assert.Single(CircuitAudit.Check(amplifier)).Where!.Value;

        // A title line and an include come before the cards.
        Assert.Equal(("test.cir", 12), (where.File, where.Line));
    }

    [Fact]
    public void Check_GridAtPlate_NamesThePath()
    {
        var amplifier = Amplifiers.Of(Sound + "\nR8 p m 100k\nR9 m out 120k");

        var finding = Assert.Single(
            CircuitAudit.Check(amplifier),
            finding => finding.Code.Name == "dc-on-grid"
        );

        Assert.Contains("p reaches it through R9, R8", finding.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("g1", "g2")]
    [InlineData("plateA", "plateB")]
    public void Check_NamesThatDifferOnPurpose_AreNoSlip(string first, string second)
    {
        var cards =
            Sound + $"\nR8 b {first} 10k\nR9 {first} 0 10k\nR10 b {second} 10k\nR11 {second} 0 10k";

        Assert.Empty(CircuitAudit.Check(Amplifiers.Of(cards)));
    }

    [Fact]
    public void Check_LargeSoundCircuit_FindsNothing()
    {
        var stages = Enumerable
            .Range(0, 400)
            .Select(i =>
                Sound
                    .Replace("VHT  b 0 250", "", StringComparison.Ordinal)
                    .ReplaceLineEndings("\n")
                    .Split('\n', StringSplitOptions.RemoveEmptyEntries)
                    .Select(card => Renamed(card, i))
            );
        var cards = "VHT b 0 250\n" + string.Join("\n", stages.SelectMany(stage => stage));

        Assert.Empty(CircuitAudit.Check(Amplifiers.Of(cards)));
    }

    private static string Renamed(string card, int stage)
    {
        var fields = card.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        var nodes = fields[0].StartsWith('X') ? 3 : 2;
        for (var i = 1; i <= nodes; i++)
        {
            fields[i] = fields[i] is "0" or "b" ? fields[i] : $"{fields[i]}_{stage}";
        }
        fields[0] = fields[0].StartsWith('X')
            ? fields[0].Insert(2, $"{stage}T")
            : $"{fields[0]}_{stage}";
        return string.Join(' ', fields);
    }

    private static string With(string card, string other) =>
        Sound.Contains(card, StringComparison.Ordinal)
            ? ReplaceFirst(card, other)
            : throw new ArgumentException($"No card {card}.", nameof(card));

    private static string ReplaceFirst(string card, string other)
    {
        var at = Sound.IndexOf(card, StringComparison.Ordinal);
        return Sound[..at] + other + Sound[(at + card.Length)..];
    }

    private static string Without(string card) => With(card, "");

    private static string Heater(string volts, string amps, string tubes) =>
        $"""
            [[heater]]
            name = "Heater"
            volts = "{volts}"
            amps = "{amps}"
            tubes = [{tubes}]
            """;

    private static string Accept(string code, string at) =>
        $"""
            [[accept]]
            code = "{code}"
            where = "{at}"
            reason = "measured"
            """;
}
