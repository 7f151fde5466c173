using CsCheck;
using NetAudit.Netlists.Expressions;
using Xunit;

namespace NetAudit.Tests.Netlists.Expressions;

public class ExpressionReaderTests
{
    [Theory]
    [InlineData("1 +", 3, "ends where a value should follow")]
    [InlineData("(1 + 2", 6, "parenthesis open")]
    [InlineData("1 + * 2", 4, "cannot go on with *")]
    [InlineData("", 0, "missing")]
    [InlineData("2 ? 3", 5, "ends where")]
    [InlineData("1k2k3", 4, "cannot go on with 3")]
    [InlineData("4.7k7 + 1", 0, "4.7k7 is not a number")]
    [InlineData("v()", 2, "cannot go on with )")]
    [InlineData("a b", 2, "cannot go on with b")]
    [InlineData("sin(1", 5, "parenthesis open")]
    [InlineData("§", 0, "cannot go on")]
    public void Read_BrokenText_SaysWhereAndWhat(string text, int start, string part)
    {
        var parsed = ExpressionReader.Read(text);
        Assert.Null(parsed.Expression);
        Assert.Contains(part, parsed.Problem!, StringComparison.Ordinal);
        Assert.Equal(start, parsed.ProblemStart);
    }

    [Theory]
    [InlineData("v(B+)", "B+", null)]
    [InlineData("V( /IN , Net-_V1-Pad1_ )", "/IN", "Net-_V1-Pad1_")]
    [InlineData("v(n$12,0)", "n$12", "0")]
    [InlineData("v(1)", "1", null)]
    [InlineData("v(µ1)", "µ1", null)]
    public void Read_NodeVoltage_TakesNodeNamesAsCardsDo(
        string text,
        string positive,
        string? negative
    )
    {
        var voltage = Assert.IsType<NodeVoltage>(ExpressionReader.Read(text).Expression);
        Assert.Equal((positive, negative), (voltage.Positive, voltage.Negative));
    }

    [Fact]
    public void Read_SameTextTwice_GivesSameExpression() =>
        Assert.Same(ExpressionReader.Read("1+a*2"), ExpressionReader.Read("1+a*2"));

    [Theory]
    [InlineData('(')]
    [InlineData('-')]
    [InlineData('!')]
    [InlineData('{')]
    [InlineData('?')]
    public void Read_DeepNesting_IsRefusedNotRecursed(char c) =>
        Assert.Null(ExpressionReader.Read(new string(c, 15_000)).Expression);

    [Theory]
    [InlineData("1+")]
    [InlineData("2^-")]
    [InlineData("2**-")]
    [InlineData("1?2:")]
    [InlineData("abs(")]
    [InlineData("1<2==")]
    public void Read_LongChain_IsRefusedNotRecursed(string piece) =>
        Assert.Null(
            ExpressionReader.Read(string.Concat(Enumerable.Repeat(piece, 3000)) + "1").Expression
        );

    [Fact]
    public void Read_ChainOfHundredTerms_IsRead() =>
        Assert.NotNull(
            ExpressionReader.Read(string.Join('+', Enumerable.Range(1, 150))).Expression
        );

    [Fact]
    public void Read_AnyText_NeverThrows() =>
        Gen.String[Gen.Char["()+-*/^<>=!&|?:,.{}vViI0123kmabe \t$@#'\"µ"], 0, 40]
            .Sample(text => ExpressionReader.Read(text) is not null, iter: 5000);
}
