using NetAudit.Fuzz.Loop;
using NetAudit.Fuzz.Targets;
using Xunit;

namespace NetAudit.Tests.Fuzzing;

/// <summary>
/// Every parser keeps its promises on any text: a diagnostic with a place that lies in the text, never an exception, a hang or much memory.
/// This is the short run; the long one is <c>tests/NetAudit.Fuzz/run</c>.
/// </summary>
public class FuzzTests
{
    private const int Texts = 1500;
    private const int Seed = 20264;

    private static readonly string Folder = Repository.File("tests/NetAudit.Fuzz/Inputs");

    public static TheoryData<string> Targets => [.. FuzzTarget.All.Select(target => target.Name)];

    [Theory]
    [MemberData(nameof(Targets))]
    public void Texts_OfASeed_BreakNoPromise(string name)
    {
        var loop = new FuzzLoop(FuzzTarget.Of(name), Inputs.Of(Folder, name), Seed);
        Assert.Empty(loop.Run(Texts, TestContext.Current.CancellationToken));
    }

    [Theory]
    [MemberData(nameof(Targets))]
    public void Texts_ThatOnceBrokeAPromise_BreakNoneNow(string name)
    {
        var texts = Inputs.Of(Folder, name);
        Assert.NotEmpty(texts);
        Assert.Empty(
            texts.Select(text => FuzzLoop.Try(FuzzTarget.Of(name), text)).OfType<Finding>()
        );
    }
}
