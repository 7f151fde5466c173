using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Expectations.Readings;

public class ReadingsFileTests
{
    private static readonly Amplifier Amplifier = Amplifiers.Sample("marram-20.cir");

    [Fact]
    public void ReadText_WholeFile_GivesReadings()
    {
        var result = Read(
            """
            at,kind,value,ref,condition,note
            p1,dc,182.4,,,first
            v1.6,,1.2k,k2,standby;volume=0.7,
            out,ac,47m,chassis,signal=50m;inject c1,"a ""b"", c"
            b1,ohms,OL,,off,
            V3,tap,noisy,,pull v4,
            R25,look,Burnt,,,
            p2,dc,,,,not read yet
            nowhere,dc,,,,not read yet either
            """
        );

        Assert.Empty(result.Diagnostics);
        Assert.Equal(6, result.Readings.Length);
        var (first, second, third) = (result.Readings[0], result.Readings[1], result.Readings[2]);
        Assert.Equal(("p1", 182.4, "first"), (first.At, first.Value, first.Note));
        Assert.Equal((Node("p1"), 0), (first.Node, first.RefNode));
        Assert.Equal(Condition.Normal, first.Condition);
        Assert.Equal(2, first.Where.Line);
        Assert.Equal((ReadingKind.Dc, 1200.0), (second.Kind, second.Value));
        Assert.Equal((Node("p2"), Node("k2")), (second.Node, second.RefNode));
        Assert.Equal("Standby=standby; Volume=0.7", second.Condition.Text);
        Assert.Equal("a \"b\", c", third.Note);
        Assert.Contains(new SignalInjected("c1", Node("c1")), third.Condition.Terms);
        Assert.True(double.IsPositiveInfinity(result.Readings[3].Value));
        var tap = result.Readings[4];
        Assert.Equal(("V3", "noisy", false), (tap.Part, tap.Word, tap.IsMeasured));
        Assert.Contains(new TubePulled("V4"), tap.Condition.Terms);
        Assert.Equal("burnt", result.Readings[5].Word);
    }

    [Theory]
    [InlineData("\uFEFFat,value\r\np1,182\r\n")]
    [InlineData("AT ; Value ; note\r\n p1 ; 182 ; ok\r\n")]
    [InlineData("value\tat\n182\tp1\n")]
    [InlineData("at,value,expected\np1,182,175\n")]
    [InlineData("\"at\",\"value\"\n\"p1\",\"182\"")]
    [InlineData("at,value\n\n\np1,182 V\n\n")]
    [InlineData("at,value,,\np1,182,,\n")]
    public void ReadText_AsSpreadsheetsWriteIt_IsTaken(string text)
    {
        var result = Read(text);

        Assert.Empty(result.Diagnostics);
        var reading = Assert.Single(result.Readings);
        Assert.Equal((Node("p1"), 182.0), (reading.Node, reading.Value));
    }

    [Theory]
    [InlineData("px,dc,1", "2:1", "no point \"px\"", "did you mean p")]
    [InlineData("p1,dc,1,kx", "2:9", "no point \"kx\"", "did you mean k")]
    [InlineData("p1,dcc,1", "2:4", "no kind", "did you mean dc?")]
    [InlineData("p1,dc,12O", "2:7", "\"12O\" is no number", "182")]
    [InlineData("p1,dc,\"182,5\"", "2:8", "\"182,5\" is no number", "write 182.5")]
    [InlineData("p1,ohms,-5,,off", "2:9", "below zero", null)]
    [InlineData(",dc,5", "2:1", "does not say where", null)]
    [InlineData("V9,tap,noisy", "2:1", "no point or part \"V9\"", "did you mean V1?")]
    [InlineData("V3,tap,noisey", "2:8", "no word", "did you mean noisy?")]
    [InlineData("V3,look,noisy", "2:9", "\"noisy\" is no word for look", "burnt, bulging")]
    [InlineData("V3,look,misset", "2:9", "\"misset\" is said of a supply", "name the supply")]
    [InlineData("out,listen,hum", "2:12", "no word for listen", "did you mean hums?")]
    [InlineData("p1,dc,310k", "2:7", "more than 100 kV", "m is milli")]
    [InlineData("p1,dc,1,,stanby", "2:10", "\"stanby\" is not known", "did you mean standby?")]
    [InlineData("p1,dc,1,,volume=2", "2:17", "no position of Volume", "from 0 to 1")]
    [InlineData(
        "p1,dc,1,,volum=0.5",
        "2:10",
        "no control or switch \"volum\"",
        "did you mean Volume?"
    )]
    [InlineData("p1,dc,1,,off; mains=x", "2:21", "no wall voltage", "mains=120")]
    [InlineData("p1,dc,1,,Standby=paly", "2:18", "no position \"paly\"", "did you mean play?")]
    [InlineData("p1,dc,1,,pull R1", "2:15", "no tube \"R1\"", "did you mean V1?")]
    [InlineData("p1,dc,1,,link p1", "2:15", "joins two points", "link A B")]
    [InlineData("p1,dc,1,,mains=85;mains=120", "2:19", "cannot both hold", "leave one")]
    [InlineData("p1,dc,182,5", "2:7", "a field too many", null)]
    [InlineData("p1,dc,\"182", "2:1", "not closed", "close it")]
    public void ReadText_Mistake_SaysWhereAndWhatMendsIt(
        string line,
        string place,
        string message,
        string? mend
    )
    {
        var header = "at,kind,value,ref,condition,note";
        // A line split by a decimal comma has one field more than the header.
        header = line == "p1,dc,182,5" ? "at,kind,value" : header;

        var result = Read($"{header}\n{line}\n");

        var found = Assert.Single(result.Diagnostics);
        Assert.Equal($"r.csv:{place}", found.Where.ToString());
        Assert.Contains(message, found.Message, StringComparison.Ordinal);
        Assert.Contains(mend ?? "", found.Mend ?? "", StringComparison.Ordinal);
        Assert.Empty(result.Readings);
    }

    [Theory]
    [InlineData("", "is empty")]
    [InlineData("p1,dc,182\n", "no column \"at\"")]
    [InlineData("at,kind,volue\np1,dc,1\n", "no column \"value\"")]
    [InlineData("at,value,at\np1,1,p2\n", "column \"at\" twice")]
    public void ReadText_BadHeader_SaysSo(string text, string message)
    {
        var result = Read(text);

        Assert.True(result.HasErrors);
        Assert.Contains(message, result.Diagnostics[0].Message, StringComparison.Ordinal);
        Assert.NotNull(result.Diagnostics[0].Mend);
    }

    [Fact]
    public void ReadText_ManyMistakes_ReportsThemAll()
    {
        var result = Read("at,kind,value\npx,dc,1\np1,dc,182\np1,zz,1\np2,dc,abc\n");

        Assert.Equal([2, 4, 5], result.Diagnostics.Select(found => found.Where!.Value.Line));
        Assert.Single(result.Readings);
    }

    [Fact]
    public void ReadText_OhmsWithPowerOn_IsTakenAsOffWithAWarning()
    {
        var result = Read("at,kind,value\nb1,ohms,220k\n");

        Assert.Equal(Severity.Warning, Assert.Single(result.Diagnostics).Severity);
        Assert.Equal("off", Assert.Single(result.Readings).Condition.Text);
    }

    [Fact]
    public void Read_MissingFile_IsADiagnostic()
    {
        var result = ReadingsFile.Read(Path.Combine(Path.GetTempPath(), "no-such.csv"), Amplifier);

        Assert.True(result.HasErrors);
    }

    [Fact]
    public void Condition_SameTermsInAnyOrder_AreEqual()
    {
        var result = Read(
            "at,value,condition\np1,1,mains=85;standby\np1,1, Standby = standby ;mains=85\n"
        );

        Assert.Equal(result.Readings[0].Condition, result.Readings[1].Condition);
    }

    [Fact]
    public void Empty_FilledIn_ReadsBack()
    {
        var empty = ReadingsFile.Empty(Amplifier);
        Assert.Empty(Read(empty).Readings);
        Assert.Empty(Read(empty).Diagnostics);

        var filled = Read(empty.Replace(",dc,,", ",dc,1,", StringComparison.Ordinal));

        Assert.Empty(filled.Diagnostics);
        Assert.Equal(
            Amplifier.Points.Select(point => point.Node).Order(),
            filled.Readings.Select(reading => reading.Node).Order()
        );
    }

    [Theory]
    [InlineData("p1 182", "p1", ReadingKind.Dc, 182, null, "")]
    [InlineData("  v1.6   310 V ", "v1.6", ReadingKind.Dc, 310, null, "")]
    [InlineData("p1-k1 180", "p1", ReadingKind.Dc, 180, "k1", "")]
    [InlineData("p1 k1 180", "p1", ReadingKind.Dc, 180, "k1", "")]
    [InlineData("V1 pin 6 (plate) 310", "V1 pin 6 (plate)", ReadingKind.Dc, 310, null, "")]
    [InlineData("out 1.2 ac", "out", ReadingKind.Ac, 1.2, null, "")]
    [InlineData("out ac 47 mV", "out", ReadingKind.Ac, 0.047, null, "")]
    [InlineData("b1 220k ohms @ off", "b1", ReadingKind.Ohms, 220e3, null, "off")]
    [InlineData(
        "p1 12 @ standby; volume=0.7",
        "p1",
        ReadingKind.Dc,
        12,
        null,
        "Standby=standby; Volume=0.7"
    )]
    [InlineData("b1 OL ohms @ off", "b1", ReadingKind.Ohms, double.PositiveInfinity, null, "off")]
    public void TypedReading_Line_GivesReading(
        string line,
        string at,
        ReadingKind kind,
        double value,
        string? reference,
        string condition
    )
    {
        var result = TypedReading.Read(line, Amplifier);

        Assert.Empty(result.Diagnostics);
        var reading = Assert.Single(result.Readings);
        Assert.Equal((at, kind, reference), (reading.At, reading.Kind, reading.Ref));
        Assert.Equal(value, reading.Value, 1e-9);
        Assert.Equal(condition, reading.Condition.Text);
    }

    [Fact]
    public void TypedReading_Observation_NamesThePart()
    {
        var reading = Assert.Single(TypedReading.Read("v3 tap noisy", Amplifier).Readings);

        Assert.Equal(("V3", "noisy", ReadingKind.Tap), (reading.Part, reading.Word, reading.Kind));
    }

    [Theory]
    [InlineData("p1", "1:1", "a point and a value")]
    [InlineData("", "1:1", "a point and a value")]
    [InlineData("q1 5", "1:1", "no point \"q1\"")]
    [InlineData("p1  5x", "1:5", "\"5x\" is no number")]
    [InlineData("p1 5 @ pull V9", "1:13", "no tube \"V9\"")]
    public void TypedReading_Mistake_SaysWhere(string line, string place, string message)
    {
        var result = TypedReading.Read(line, Amplifier);

        var found = Assert.Single(result.Diagnostics);
        Assert.Equal($"-:{place}", found.Where.ToString());
        Assert.Contains(message, found.Message, StringComparison.Ordinal);
    }

    private static int Node(string name) => Amplifier.Circuit.FindNode(name);

    private static ReadingsResult Read(string text) =>
        ReadingsFile.ReadText(text, "r.csv", Amplifier);
}
