using System.Globalization;
using CsCheck;
using NetAudit.Netlists;
using Xunit;

namespace NetAudit.Tests.Netlists;

public class SpiceNumberTests
{
    public static TheoryData<string, string> Numbers =>
        TestTable.Columns("netlists/numbers.csv", "text", "value");

    [Theory]
    [MemberData(nameof(Numbers))]
    public void TryParse_PublishedSpelling_GivesNearestDouble(string text, string value)
    {
        Assert.True(SpiceNumber.TryParse(text, out var number, out _));
        Assert.Equal(double.Parse(value, CultureInfo.InvariantCulture), number);
    }

    [Theory]
    [InlineData("")]
    [InlineData("k")]
    [InlineData("-")]
    [InlineData("-.")]
    [InlineData("-.k")]
    [InlineData(".")]
    [InlineData("1.2.3")]
    [InlineData("4.7k7")]
    [InlineData("1e400")]
    [InlineData("1k2k3")]
    [InlineData("5V5")]
    [InlineData("--5")]
    [InlineData("12AX7")]
    [InlineData("1N4007")]
    [InlineData("2N3904")]
    [InlineData("NaN")]
    [InlineData("infinity")]
    [InlineData("1+2")]
    [InlineData("１")]
    public void TryParse_SomethingElse_IsFalse(string text) =>
        Assert.False(
            SpiceNumber.TryParse(text, out var value, out var style)
                && style != NumberStyle.LetterCode,
            $"{text} was read as {value}"
        );

    [Theory]
    [InlineData("R47", 0.47)]
    [InlineData("n47", 470e-12)]
    [InlineData("K33", 330)]
    [InlineData("M1", 1e5)]
    public void TryParseLeadingLetter_LetterCode_GivesValue(string text, double value)
    {
        // IEC 60062, from memory: R47 = 0.47 ohm, n47 = 470 pF.
        Assert.True(SpiceNumber.TryParseLeadingLetter(text, out var number));
        Assert.Equal(value, number, 1e-12 * value);
    }

    [Theory]
    [InlineData("2M", nameof(NumberStyle.Milli))]
    [InlineData("1F", nameof(NumberStyle.Femto))]
    [InlineData("2M2", nameof(NumberStyle.LetterCode))]
    [InlineData("1Meg", nameof(NumberStyle.Plain))]
    [InlineData("5mil", nameof(NumberStyle.Plain))]
    public void TryParse_DangerousSuffix_IsTold(string text, string style)
    {
        Assert.True(SpiceNumber.TryParse(text, out _, out var found));
        Assert.Equal(style, found.ToString());
    }

    [Fact]
    public void TryParse_RoundTripText_IsExact() =>
        Gen
            .Double.Where(double.IsFinite)
            .Sample(value =>
            {
                var text = value.ToString("R", CultureInfo.InvariantCulture);
                return SpiceNumber.TryParse(text, out var read, out _) && read == value;
            });

    [Fact]
    public void TryParse_AnyText_NeverThrowsNorGivesInfinity() =>
        Gen.String[Gen.Char["0123456789.+-eEkKmMuUrRgG%_ xµ"], 0, 12]
            .Sample(text =>
                !SpiceNumber.TryParse(text, out var value, out _) || double.IsFinite(value)
            );
}
