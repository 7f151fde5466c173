using System.Diagnostics;
using System.Text;
using CsCheck;
using NetAudit.Circuits;
using NetAudit.Common;
using Xunit;

namespace NetAudit.Tests.Netlists;

/// <summary>Input that wants to crash, hang or fill the memory: it gets diagnostics, in bounded time.</summary>
public class HostileInputTests
{
    /// <summary>Generous for a loaded machine; unloaded, the worst takes about one second.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    private static readonly string[] Pieces =
    [
        "(",
        ")",
        "{",
        "}",
        "'",
        "\"",
        "=",
        ",",
        "\n",
        "\n+ ",
        "\n* c\n",
        "\r",
        "\t",
        "\0",
        "µ",
        "😀",
        ";",
        "$ ",
        ".param a={b} ",
        ".subckt s p\n",
        ".ends\n",
        ".if (1)\n",
        ".else\n",
        ".endif\n",
        ".lib x\n",
        ".endl\n",
        ".include tubes.lib\n",
        ".func f(x) {f(x)}\n",
        ".model m npn(",
        ".temp {x}\n",
        ".nodeset v(1)=",
        ".control\n",
        "R1 1 0 ",
        "C1 1 0 1F",
        "V1 1 0 ",
        "X1 1 s ",
        "K1 L1 L2 ",
        "B1 1 0 V=",
        "E1 1 0 ",
        "G1 1 0 POLY(2) ",
        "F1 1 0 V1 ",
        "D1 1 0 m",
        "Q1 1 2 3 m",
        "M1 1 2 3 4 m",
        "S1 1 0 2 0 m",
        "TABLE ",
        "VALUE=",
        "v(1,2)",
        "i(V1)",
        "1e999",
        "4k7",
        "-1",
        "SIN(",
        "PWL(",
        "params: ",
        "m=0 ",
        "tc=1,",
        "^",
        "**",
        "?",
        ":",
        "&&",
        "<=",
        "==",
        "table(",
        "pwr(",
        "temper",
    ];

    [Fact]
    public void Read_AnyMixtureOfPieces_NeverThrows() =>
        Gen.Int[0, Pieces.Length - 1]
            .Select(index => Pieces[index])
            .Array[0, 40]
            .Sample(pieces => Check("t\n" + string.Concat(pieces)), iter: 4000);

    [Fact]
    public void Read_AnyBytes_NeverThrows() =>
        Gen.Byte.Array[0, 300].Sample(bytes => Check(Encoding.Latin1.GetString(bytes)), iter: 4000);

    [Fact]
    public void Read_SampleCutAnywhere_NeverThrows()
    {
        var text = File.ReadAllText(Repository.File("sample-circuits/marram-5.cir"));
        for (var length = 0; length < text.Length; length += 7)
        {
            Assert.True(Check(text[..length]));
        }
    }

    public static TheoryData<string> Floods => [.. FloodTexts.Keys];

    private static readonly Dictionary<string, Func<string>> FloodTexts = new()
    {
        ["too many lines"] = () => Repeat("R1 1 0 1\n", 1_000_000),
        ["lines of one name"] = () => Repeat("R1 1 0 1\n", 39_000),
        ["a line of words"] = () => "R1 1 0 " + Repeat("a ", 45_000),
        ["a line too long"] = () => "R1 1 0 " + new string('a', 1_500_000),
        ["open parentheses"] = () => "R1 1 0 " + new string('(', 90_000),
        ["nested parentheses"] = () =>
            Repeat($"R1 1 0 {new string('(', 60)}1{new string(')', 60)}\n", 5000),
        ["open braces"] = () => Repeat("R1 1 0 {a\n", 39_000),
        ["continuations"] = () => "R1 1 0 1k\n" + Repeat("+ x\n", 39_000),
        ["subcircuits doubling"] = () => "X0 1 s0\n" + Doubling("X1 p s{0}\nX2 p s{0}\n"),
        ["empty subcircuits doubling"] = () =>
            "R1 1 0 1\nX0 1 s0\n" + Doubling("X1 p s{0}\nX2 p s{0}\nX3 p s{0}\n"),
        ["functions doubling"] = () =>
            ".func f0(x) {x+x}\n"
            + string.Concat(
                Enumerable.Range(1, 45).Select(i => $".func f{i}(x) {{f{i - 1}(x)+f{i - 1}(x)}}\n")
            )
            + "B1 1 0 V={f45(v(1))}",
        ["functions nesting"] = () =>
            ".func f0(x) {x+x}\n"
            + string.Concat(
                Enumerable.Range(1, 45).Select(i => $".func f{i}(x) {{f{i - 1}(f{i - 1}(x))}}\n")
            )
            + "B1 1 0 V={f45(v(1))}",
        ["parameters in a chain"] = () =>
            string.Concat(Enumerable.Range(0, 30_000).Select(i => $".param p{i}={{p{i + 1}}}\n"))
            + "R1 1 0 {p0}",
        ["errors"] = () =>
            string.Concat(Enumerable.Range(0, 30_000).Select(i => $"R{i} {i} 0 {{nope{i}}}\n")),
        ["unknown models"] = () =>
            string.Concat(
                Enumerable.Range(0, 15_000).Select(i => $"D{i} {i} 0 dx{i}\n.model dm{i} d\n")
            ),
        ["blocks in blocks"] = () => "R1 1 0 1\n" + Repeat(".subckt s p\n.if (1)\n", 15_000),
        ["includes"] = () => "R1 1 0 1\n" + Repeat(".include tubes.lib\n", 30_000),
        ["windings"] = () =>
            "R1 1 0 1\n"
            + string.Concat(Enumerable.Range(0, 600).Select(i => $"L{i} 1 0 1\n"))
            + "K1 "
            + string.Concat(Enumerable.Range(0, 600).Select(i => $"L{i} "))
            + "0.5",
    };

    [Theory]
    [MemberData(nameof(Floods))]
    public void Read_Flood_EndsInTime(string name)
    {
        var clock = Stopwatch.StartNew();
        Assert.True(Check("t\n" + FloodTexts[name]()));
        Assert.True(clock.Elapsed < Patience, $"{name} took {clock.Elapsed}");
    }

    [Theory]
    [InlineData(40_000, false)]
    [InlineData(40_001, true)]
    public void Read_LinesAtTheBound_AreRead_AndOneMoreIsNot(int lines, bool isTooLong)
    {
        var text = "Bound\nR1 a 0 1k\n" + new string('\n', lines - 3);

        var errors = CircuitReader
            .ReadText(text, "bound.cir")
            .Diagnostics.Where(found => found.Severity == Severity.Error)
            .Select(found => found.Message);

        Assert.Equal(
            isTooLong ? ["the file has 40001 lines; a netlist may have 40000"] : [],
            errors
        );
    }

    [Fact]
    public void Read_LongChainOfParametersInOrder_IsRead()
    {
        var text =
            "t\n.param p0=1\n"
            + string.Concat(Enumerable.Range(1, 5000).Select(i => $".param p{i}={{p{i - 1}+1}}\n"))
            + "R1 1 0 {p5000}";
        var circuit = CircuitReader.ReadText(text, "x.cir").Circuit!;
        Assert.Equal(5001, ((Resistor)circuit.Elements[0]).Ohms);
    }

    [Fact]
    public void Read_FromManyThreads_GivesTheSame()
    {
        var path = Repository.File("sample-circuits/marram-20.cir");
        var laws = CircuitReader.ReadFile(path).Circuit!.Elements.OfType<BehaviouralSource>();
        var expected = laws.Select(source => source.Law).ToList();
        Parallel.For(
            0,
            64,
            _ =>
                Assert.Equal(
                    expected,
                    CircuitReader
                        .ReadFile(path)
                        .Circuit!.Elements.OfType<BehaviouralSource>()
                        .Select(source => source.Law)
                )
        );
    }

    [Fact]
    public void Read_Cancelled_Stops()
    {
        using var source = new CancellationTokenSource();
        source.Cancel();
        Assert.Throws<OperationCanceledException>(() =>
            CircuitReader.ReadText("t\nR1 1 0 1k", "x.cir", cancellationToken: source.Token)
        );
    }

    /// <summary>True when the contract holds: a circuit if and only if nothing is an error, and every diagnostic can be shown.</summary>
    private static bool Check(string text)
    {
        var result = CircuitReader.ReadText(text, "x.cir");
        var hasError = result.Diagnostics.Any(d => d.Severity == Severity.Error);
        return (result.Circuit is null) == hasError
            && result.Diagnostics.All(d => d.ToString().Length > 0);
    }

    private static string Repeat(string text, int count) =>
        string.Concat(Enumerable.Repeat(text, count));

    private static string Doubling(string body) =>
        string.Concat(
            Enumerable
                .Range(0, 35)
                .Select(i =>
                    $".subckt s{i} p\n{body.Replace("{0}", $"{i + 1}", StringComparison.Ordinal)}.ends\n"
                )
        ) + ".subckt s35 p\n.ends\n";
}
