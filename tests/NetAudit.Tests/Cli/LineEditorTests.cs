using NetAudit.Cli.Sessions;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>Typing at the prompt.</summary>
public sealed class LineEditorTests
{
    private const char Up = '\u2191';

    private static readonly string[] Names = ["b1", "k1", "p1", "p2", "V1 pin 1 (plate)", "undo"];

    [Theory]
    [InlineData("p1 182\r", "p1 182")]
    [InlineData("b\t24\r", "b1 24")]
    [InlineData("p\t2 9\r", "p2 9")]
    [InlineData("v\t310\r", "V1 pin 1 (plate) 310")]
    [InlineData("zz\t 1\r", "zz 1")]
    [InlineData("p1 18\b9\r", "p1 19")]
    public async Task Read_Keys_GiveTheLine(string keys, string line)
    {
        using var output = new StringWriter();

        Assert.Equal(line, await Editor(keys, output).ReadAsync(CancellationToken.None));
    }

    [Fact]
    public async Task Read_TabTwice_ListsTheNames()
    {
        using var output = new StringWriter();

        Assert.Equal("p1 3", await Editor("p\t\t1 3\r", output).ReadAsync(CancellationToken.None));
        Assert.Contains("p1, p2", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Read_EndOfInput_IsNull()
    {
        using var output = new StringWriter();

        Assert.Null(await Editor("", output).ReadAsync(CancellationToken.None));
    }

    [Fact]
    public async Task Read_Up_BringsTheLineBefore()
    {
        using var output = new StringWriter();
        var editor = Editor($"p1 182\r{Up}\r", output);

        await editor.ReadAsync(CancellationToken.None);

        Assert.Equal("p1 182", await editor.ReadAsync(CancellationToken.None));
    }

    [Fact]
    public async Task Read_EnterOnEmptyLine_BeginsTheProposal()
    {
        using var output = new StringWriter();
        var editor = Editor("\r1.2\r", output, () => ("out ac ", " @ inject c1"));

        Assert.Equal("out ac 1.2 @ inject c1", await editor.ReadAsync(CancellationToken.None));
    }

    private static LineEditor Editor(
        string keys,
        StringWriter output,
        Func<(string, string)?>? proposal = null
    )
    {
        var left = new Queue<char>(keys);
        return new LineEditor(
            output,
            _ => Task.FromResult(left.TryDequeue(out var key) ? Key(key) : (ConsoleKeyInfo?)null),
            Names,
            proposal
        );
    }

    private static ConsoleKeyInfo Key(char key) =>
        new(
            key,
            key switch
            {
                '\r' => ConsoleKey.Enter,
                '\t' => ConsoleKey.Tab,
                '\b' => ConsoleKey.Backspace,
                Up => ConsoleKey.UpArrow,
                _ => ConsoleKey.NoName,
            },
            shift: false,
            alt: false,
            control: false
        );
}
