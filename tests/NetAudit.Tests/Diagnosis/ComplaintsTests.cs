using NetAudit.Diagnosis;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

public sealed class ComplaintsTests
{
    [Theory]
    [InlineData("hums", "hums")]
    [InlineData("  NO   Sound", "no sound")]
    public void Find_Known_IsFound(string text, string expected) =>
        Assert.Equal((expected, null), Complaints.Find(text));

    [Theory]
    [InlineData("hum", "did you mean hums?")]
    [InlineData("distort", "did you mean distorts?")]
    [InlineData("it is broken", "it is one of no sound, weak")]
    [InlineData("", "it is one of no sound, weak")]
    public void Find_Unknown_SaysWhatThereIs(string text, string hint)
    {
        var (complaint, said) = Complaints.Find(text);

        Assert.Null(complaint);
        Assert.StartsWith(hint, said, StringComparison.Ordinal);
    }
}
