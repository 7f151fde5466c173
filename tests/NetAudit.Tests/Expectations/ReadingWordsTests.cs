using NetAudit.Expectations;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Expectations;

public class ReadingWordsTests
{
    [Theory]
    [InlineData(ReadingKind.Dc, 182.04, "182.0 V")]
    [InlineData(ReadingKind.Dc, -0.0001, "0.000 V")]
    [InlineData(ReadingKind.Ac, 0.0123456, "12.3 mV")]
    [InlineData(ReadingKind.Ac, 3.2e-9, "0 V")]
    [InlineData(ReadingKind.Ac, 12.3456, "12.3 V")]
    [InlineData(ReadingKind.Ohms, 4712, "4.71 kΩ")]
    [InlineData(ReadingKind.Ohms, double.PositiveInfinity, "OL")]
    [InlineData(ReadingKind.Ohms, 60e6, "OL")]
    [InlineData(ReadingKind.Ac, double.NaN, "unknown")]
    public void Value_OfKind_HasItsUnit(ReadingKind kind, double value, string expected) =>
        Assert.Equal(expected, ReadingWords.Value(kind, value));

    [Theory]
    [InlineData("p1 182", "p1")]
    [InlineData("p1-k1 180", "p1 to k1")]
    [InlineData("out 1.2 ac @ volume=0.7", "out AC, Volume=0.7")]
    [InlineData("R3 100k ohms @ off", "R3 ohms")]
    [InlineData("R3 100k ohms @ off; standby", "R3 ohms, Standby=standby")]
    [InlineData("out listen weak @ inject c1", "out listen, inject c1")]
    [InlineData("p1 12 @ standby", "p1, Standby=standby")]
    public void Place_OfReading_SaysWhatIsUnusual(string line, string expected)
    {
        var amplifier = Amplifiers.Sample("marram-20.cir");

        var reading = Assert.Single(TypedReading.Read(line, amplifier).Readings);

        Assert.Equal(expected, ReadingWords.Place(reading));
    }
}
