using NetAudit.Common;
using Xunit;

namespace NetAudit.Tests.Circuits.Elaboration;

/// <summary>What is said about wrong netlists: place, words, mend. Line 1 is the title.</summary>
public class DiagnosticTests
{
    public static TheoryData<string, int, int, string, string?> Errors =>
        new()
        {
            // cards, line, column, message contains, mend contains
            { "R1 1 0", 2, 1, "R1 has no value", null },
            {
                "R1 1",
                2,
                1,
                "R1 needs two nodes and a value; only one field follows its name",
                null
            },
            { "R1", 2, 1, "nothing follows its name", null },
            { "R1 1 0 0", 2, 8, "cannot have a resistance of zero", "1m" },
            { "R1 1 0 {1/0}", 2, 9, "division by zero", null },
            { "R1 1 0 1e999", 2, 8, "1e999 is not a number", null },
            { "R1 1 0 {1e300*1e300}", 2, 9, "no finite value", null },
            { "R1 1 0 1x0", 2, 8, "1x0 is not a number", null },
            { "R1 1 0 abc", 2, 8, "unknown parameter abc", null },
            { "R1 1 0 {gian}\n.param gain=5", 2, 9, "unknown parameter gian", "gain" },
            { "R1 1 0 {sqrtt(2)}", 2, 9, "unknown function sqrtt", "sqrt" },
            { "R1 1 0 {sin(1,2)}", 2, 9, "sin takes 1 argument, not 2", null },
            { "R1 1 0 {v(1)}", 2, 9, "voltages and currents have no value here", null },
            { "R1 1 0 {1+", 2, 8, "brace is not closed", "}" },
            { "R1 1 0 1k}", 2, 10, "closing brace has no opening", null },
            { "V1 1 0 SIN(0 1", 2, 11, "parenthesis is not closed", ")" },
            { "V1 1 0 SIN(0 1))", 2, 16, "closing parenthesis has no opening", null },
            { "V1 1 0 PWL(0 1 2)", 2, 8, "pairs", null },
            { "R1 1 0 = 5 = 6", 2, 12, "no name before", null },
            { "C1 1 0 -5u", 2, 8, "negative capacitance", null },
            { "L1 1 0 0", 2, 8, "above zero", null },
            { "K1 L1 L2 1.5\nL1 1 0 1\nL2 2 0 1", 2, 10, "above 0 and not above 1", null },
            { "K1 L1 L3 0.5\nL1 1 0 1\nL2 2 0 1", 2, 7, "there is no inductor L3", "L" },
            { "K1 L1 L1 0.5\nL1 1 0 1", 2, 7, "coupled to itself", null },
            { "K1 L1 R1 0.5\nL1 1 0 1\nR1 1 0 1", 2, 7, "R1 is not an inductor", null },
            {
                "R1 1 0 1k\nR1 1 0 2k",
                3,
                1,
                "R1 is already the name of the element at test.cir:2:1",
                "another name"
            },
            { "D1 1 0 1N4004\n.model 1N4007 d", 2, 8, "unknown model 1N4004", "1N4007" },
            {
                "D1 1 1N4007\n.model 1N4007 d",
                2,
                6,
                "has 1 nodes before its model; it needs 2",
                null
            },
            { "Q1 1 2 qm\n.model qm npn", 2, 8, "has 2 nodes before its model; it needs 3", null },
            {
                "Q1 1 2 3 4 5 qm\n.model qm npn",
                2,
                14,
                "has 5 nodes before its model; it takes 4",
                null
            },
            {
                "M1 1 2 3 mm\n.model mm nmos",
                2,
                10,
                "has 3 nodes before its model; it needs 4",
                null
            },
            { "D1 1 0 qm\n.model qm npn", 2, 8, "model qm is of kind npn; D1 needs d", null },
            { "Q1 1 2 3 qm\n.model qm nnp", 3, 11, "cannot be of kind nnp", "npn" },
            { "X1 1 12AX8\n.subckt 12AX7 p\n.ends", 2, 6, "unknown subcircuit 12AX8", "12AX7" },
            {
                "X1 p g 12AX7\n.subckt 12AX7 P G K\n.ends",
                2,
                8,
                "12AX7 has 3 pins (P G K), but X1 connects 2",
                "missing"
            },
            {
                "X1 p g k s 12AX7\n.subckt 12AX7 P G K\n.ends",
                2,
                12,
                "12AX7 has 3 pins (P G K), but X1 connects 4",
                null
            },
            { "X1 a b\nR1 a b 1\n.subckt s1 p\n.ends", 2, 6, "", null },
            {
                "X1 a s1 5\n.subckt s1 p\n.ends",
                2,
                9,
                "stands after the subcircuit's name",
                "name=value"
            },
            { "X1 a s1\n.subckt s1 p\nX2 p s1\n.ends", 4, 6, "contains itself", null },
            { "X1 a s1\n.subckt s1 p\nR1 p 0 1k", 3, 1, "no .ends", ".ends" },
            { ".ends\nR1 1 0 1", 2, 1, ".ends has no card that it closes", null },
            { ".if (1)\nR1 1 0 1", 2, 1, "no .endif", ".endif" },
            { ".param a={b} b={a}\nR1 1 0 {a}", 2, 11, "depends on itself", null },
            { ".param a\nR1 1 0 1", 2, 8, "needs name = value", null },
            { ".param 5=6\nR1 1 0 1", 2, 8, "cannot be a parameter's name", null },
            { "E1 1 0 2 0", 2, 1, "the gain is missing", null },
            { "E1 1 0 2", 2, 1, "control node is missing", null },
            { "E1 1 0 LAPLACE {v(1)} {1/s}\nR1 1 0 1", 2, 8, "LAPLACE", null },
            { "F1 1 0 V9 2\nV8 1 0 1\nR1 1 0 1", 2, 8, "there is no voltage source V9", "V8" },
            { "F1 1 0 R1 2\nR1 1 0 1", 2, 8, "R1 is not a voltage source", "0 V in series" },
            { "B1 1 0 v(2)\nR1 1 0 1", 2, 1, "B1 has no law", "I={" },
            {
                "B1 1 0 V=v(vcx)*2\nR1 vcc 0 1\nR2 1 0 1",
                2,
                10,
                "nothing is connected to node vcx",
                "vcc"
            },
            { "B1 1 0 V=i(v9)\nV8 1 0 1", 2, 10, "there is no voltage source v9", "v8" },
            { "E1 1 0 TABLE {v(1)} = (0,0) (0,1)\nR1 1 0 1", 2, 30, "must ascend", null },
            { "E1 1 0 POLY(2) 1 0 1\nR1 1 0 1", 2, 8, "needs 4 control nodes", null },
            { "+ 5\nR1 1 0 1", 2, 1, "no card before it", null },
            { "#1 1 0 5", 2, 1, "not an element", "starts with" },
            { ".include nowhere.lib\nR1 1 0 1", 2, 10, "there is no file nowhere.lib", null },
            { ".func f(x) {f(x)}\nR1 1 0 {f(1)}", 2, 13, "calls itself", null },
            { ".func f(x,y) {x}\nR1 1 0 {f(1)}", 3, 9, "f takes 2 arguments, not 1", null },
            { ".temp -300\nR1 1 0 1", 2, 7, "no temperature", null },
        };

    [Theory]
    [MemberData(nameof(Errors))]
    public void Error_IsToldWithPlaceAndMend(
        string cards,
        int line,
        int column,
        string message,
        string? mend
    )
    {
        var result = Netlist.Read(cards);
        Assert.Null(result.Circuit);
        var error = result.Diagnostics.First(d => d.Severity == Severity.Error);
        Assert.Contains(message, error.Message, StringComparison.Ordinal);
        Assert.Equal((line, column), (error.Where!.Value.Line, error.Where.Value.Column));
        if (mend is not null)
        {
            Assert.Contains(mend, error.Mend ?? "", StringComparison.OrdinalIgnoreCase);
        }
    }

    public static TheoryData<string, int, int, string, string?> Warnings =>
        new()
        {
            { "R1 1 0 2M", 2, 8, "2M is 2 mΩ", "2Meg" },
            { "R1 1 0 1k\nC1 1 0 1F", 3, 8, "1F is 1 fF", null },
            { "R1 1 0 1k\nC1 1 0 100", 3, 8, "unlikely for a capacitor", null },
            { "R1 1 0 1u", 2, 8, "unlikely for a resistor", null },
            { "R1 1 0 1k foo=3", 2, 11, "foo means nothing", null },
            { "R1 1 0 1k\n.modle q npn", 3, 1, "not a card this program knows", ".model" },
            { "R1 1 0 {a}\n.param a=1\n.param a=2", 4, 8, "given before", null },
            {
                "X1 1 s gian=2\n.subckt s p gain=1\nR1 p 0 {gain}\n.ends",
                2,
                8,
                "has no parameter gian",
                "gain"
            },
            {
                "D1 1 0 d\nR1 1 0 1\n.model d d\n.model d d(is=1)",
                5,
                8,
                "first definition counts",
                null
            },
            {
                "X1 1 s\n.subckt s p\nR1 p 0 1k\n.ends t",
                5,
                7,
                ".ends names t, but closes subcircuit s",
                ".ends s"
            },
            { "V1 a 0 2\nE1 1 0 POLY(1) a 0 10\nR1 1 0 1", 3, 8, "constant, not a gain", "0 10" },
            { "M1 1 2 3 0 m\n.model m nmos(level=3)", 3, 10, "level 3 is read as level 1", null },
        };

    [Theory]
    [MemberData(nameof(Warnings))]
    public void Warning_IsTold_AndTheCircuitIsRead(
        string cards,
        int line,
        int column,
        string message,
        string? mend
    )
    {
        var result = Netlist.Read(cards);
        Assert.True(result.Circuit is not null, string.Join('\n', result.Diagnostics));
        var warning = Assert.Single(result.Diagnostics, d => d.Severity == Severity.Warning);
        Assert.Contains(message, warning.Message, StringComparison.Ordinal);
        Assert.Equal((line, column), (warning.Where!.Value.Line, warning.Where.Value.Column));
        if (mend is not null)
        {
            Assert.Contains(mend, warning.Mend ?? "", StringComparison.OrdinalIgnoreCase);
        }
    }

    [Theory]
    [InlineData(".ends s")]
    [InlineData(".ENDS S")]
    [InlineData(".ends")]
    public void Ends_OfItsOwnSubcircuit_IsNoWarning(string ends) =>
        Assert.Empty(Netlist.Read($"X1 1 s\n.subckt s p\nR1 p 0 1k\n{ends}").Diagnostics);

    [Fact]
    public void Errors_OfOneRun_AreAllTold()
    {
        var errors = Netlist.Of(
            "R1 1 0 {x}\nR2 1 0 0\nD1 1 0 dx\nX1 1 2 nosuch\nR5 1 (0 5\nF1 1 0 V7 2",
            Severity.Error
        );
        Assert.Equal([2, 3, 4, 5, 6, 7], errors.Select(error => error.Where!.Value.Line));
    }

    [Fact]
    public void Error_InSubcircuit_IsToldOnceForAllInstances() =>
        Assert.Single(
            Netlist.Of("X1 1 s\nX2 2 s\nX3 3 s\n.subckt s p\nR1 p 0 {nope}\n.ends", Severity.Error)
        );

    [Fact]
    public void Error_OfElement_IsNotFollowedByOneOfWhatRefersToIt() =>
        Assert.Single(Netlist.Of("V1 1 0 {nope}\nF1 1 0 V1 2\nR1 1 0 1", Severity.Error));

    [Fact]
    public void Error_OfACard_ShowsItsLine() =>
        Assert.Equal(
            "R1 1 0 {nope} ; note",
            Assert.Single(Netlist.Of("R1 1 0 {nope} ; note", Severity.Error)).SourceLine
        );

    [Fact]
    public void Error_OnContinuationLine_PointsThere()
    {
        var error = Assert.Single(Netlist.Of("R1 1 0\n* note\n+   {nope}", Severity.Error));
        Assert.Equal((4, 6), (error.Where!.Value.Line, error.Where.Value.Column));
        Assert.Equal("+   {nope}", error.SourceLine);
        Assert.Equal(
            "test.cir:4:6: error: unknown parameter nope\n    +   {nope}\n         ^^^^",
            error.ToString()
        );
    }

    [Fact]
    public void Netlist_WithoutElements_IsAnError() =>
        Assert.Equal(
            "the netlist has no elements",
            Netlist.Of("* nothing", Severity.Error)[0].Message
        );
}
