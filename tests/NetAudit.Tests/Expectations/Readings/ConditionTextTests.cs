using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Expectations.Readings;

public class ConditionTextTests
{
    private static readonly Amplifier Amplifier = Amplifiers.Sample("marram-20.cir");

    [Theory]
    [InlineData("", "")]
    [InlineData("off", "off")]
    [InlineData("standby", "Standby=standby")]
    [InlineData("STANDBY = Standby", "Standby=standby")]
    [InlineData("mains=85", "mains=85")]
    [InlineData("mains=117.4321 V", "mains=117.4321")]
    [InlineData("volume=0.7", "Volume=0.7")]
    [InlineData("volume=1e-5", "Volume=1E-05")]
    [InlineData("signal=50m", "signal=50m")]
    [InlineData("signal=0.0123456", "signal=12.3456m")]
    [InlineData("signal=0", "signal=0")]
    [InlineData("load=4", "load=4")]
    [InlineData("load=4k7", "load=4.7k")]
    [InlineData("inject v1.6", "inject p2")]
    [InlineData("link  p1   k1", "link p1 k1")]
    [InlineData("link k1 p1", "link p1 k1")]
    [InlineData("link gnd p1", "link p1 0")]
    [InlineData("pull v3", "pull V3")]
    [InlineData("swap V3", "swap V3")]
    [InlineData(
        "swap v1; link p1 k1; inject c1; load=4; signal=50m; mains=85; volume=0.7; standby; off",
        "inject c1; link p1 k1; load=4; mains=85; off; signal=50m; Standby=standby; swap V1; Volume=0.7"
    )]
    public void Read_Terms_GoThereAndBack(string text, string canonical)
    {
        var first = Read(text);
        var again = Read(first.Text);

        Assert.Equal(canonical, first.Text);
        Assert.Equal(first, again);
        Assert.Equal(first.Terms, again.Terms);
    }

    [Theory]
    [InlineData("mains=-5", "no wall voltage", 7)]
    [InlineData("mains=850", "no wall voltage", 7)]
    [InlineData("mains=", "no wall voltage", 7)]
    [InlineData("signal=loud", "no voltage", 8)]
    [InlineData("load=0", "no load", 6)]
    [InlineData("load=-8", "no load", 6)]
    [InlineData("volume=1.5", "no position of Volume", 8)]
    [InlineData("inject", "name of a point is missing", 7)]
    [InlineData("inject gnd", "goes nowhere", 8)]
    [InlineData("inject zz9", "no point \"zz9\"", 8)]
    [InlineData("link p1", "joins two points", 6)]
    [InlineData("link p1 v1.1", "same node", 6)]
    [InlineData("link p1 k1 g1", "no point", 9)]
    [InlineData("pull", "name of a tube is missing", 5)]
    [InlineData("swap R3", "no tube \"R3\"", 6)]
    [InlineData("of", "not known", 1)]
    [InlineData("off now", "not known", 1)]
    [InlineData("=5", "no control or switch", 1)]
    [InlineData("pull V3; swap V3", "cannot both hold", 10)]
    [InlineData("load=4; load=8", "cannot both hold", 9)]
    [InlineData("standby; Standby=play", "cannot both hold", 10)]
    public void Read_Mistake_SaysWhereAndWhat(string text, string message, int column)
    {
        var (condition, diagnostics) = ConditionText.Read(text, Amplifier);

        Assert.Null(condition);
        var found = Assert.Single(diagnostics);
        Assert.Contains(message, found.Message, StringComparison.Ordinal);
        Assert.Equal(column, found.Where!.Value.Column);
    }

    private static Condition Read(string text)
    {
        var (condition, diagnostics) = ConditionText.Read(text, Amplifier);
        Assert.Empty(diagnostics);
        return condition!;
    }
}
