using NetAudit.Expectations;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Expectations.Readings;

public sealed class ReadingsAppenderTests : IDisposable
{
    private readonly string path = Path.GetTempFileName();

    public void Dispose() => File.Delete(path);

    [Fact]
    public void Append_ToNewFile_ReadsBackTheSame()
    {
        File.Delete(path);
        var amplifier = Amplifiers.Sample("marram-20.cir");
        string[] lines = ["p1 182.437", "p1-k1 -0.1", "b1 OL ohms @ off", "V3 tap noisy @ pull V4"];
        var typed = lines.Select(line => TypedReading.Read(line, amplifier).Readings[0]).ToArray();

        foreach (var reading in typed)
        {
            Assert.Null(ReadingsAppender.Append(path, reading).Problem);
        }

        var read = ReadingsFile.Read(path, amplifier);
        Assert.Empty(read.Diagnostics);
        Assert.Equal(
            typed.Select(reading => reading with { Where = default }),
            read.Readings.Select(reading => reading with { Where = default })
        );
    }

    [Fact]
    public void Append_ToFileWithOtherColumns_KeepsThem()
    {
        var amplifier = Amplifiers.Sample("marram-20.cir");
        File.WriteAllText(path, "note;value;expected;at\r\nfirst;182;175;p1");
        var reading = TypedReading.Read("p2 190.5", amplifier).Readings[0];

        Assert.Null(ReadingsAppender.Append(path, reading).Problem);

        Assert.Equal(
            "note;value;expected;at\r\nfirst;182;175;p1\n;190.5;;p2\n",
            File.ReadAllText(path)
        );
    }

    [Fact]
    public void Append_FileLacksAColumnTheReadingNeeds_IsRefusedAndNothingWritten()
    {
        var amplifier = Amplifiers.Sample("marram-20.cir");
        File.WriteAllText(path, "at,value\np1,182\n");
        var reading = TypedReading.Read("p2 190.5 @ standby", amplifier).Readings[0];

        Assert.NotNull(ReadingsAppender.Append(path, reading).Problem);

        Assert.Equal("at,value\np1,182\n", File.ReadAllText(path));
    }

    [Fact]
    public void Append_FolderThatIsNotThere_IsADiagnostic()
    {
        var amplifier = Amplifiers.Sample("marram-20.cir");
        var reading = TypedReading.Read("p2 190.5", amplifier).Readings[0];

        Assert.NotNull(ReadingsAppender.Append(path + ".d/x.csv", reading).Problem);
    }

    [Fact]
    public void Undo_LastReading_RestoresTheFile()
    {
        var amplifier = Amplifiers.Sample("marram-20.cir");
        File.WriteAllText(path, "at,value\np1,182\n");
        var reading = TypedReading.Read("p2 190.5", amplifier).Readings[0];
        var appended = ReadingsAppender.Append(path, reading);

        Assert.Null(ReadingsAppender.Undo(path, appended));

        Assert.Equal("at,value\np1,182\n", File.ReadAllText(path));
    }
}
