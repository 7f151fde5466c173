using Spectre.Console;

namespace NetAudit.Cli.Terminals;

/// <summary>How a line looks on a terminal. Nothing is said by it alone.</summary>
internal enum Ink
{
    /// <summary>As the terminal has it.</summary>
    Plain,

    /// <summary>A heading.</summary>
    Heading,

    /// <summary>What is wrong, or dangerous.</summary>
    Alarm,
}

/// <summary>Writes reports line by line.</summary>
internal abstract class Screen
{
    /// <summary>Columns to write in.</summary>
    public required int Width { get; init; }

    /// <summary>The screen for a terminal. The styling library is loaded only when there is something to style.</summary>
    public static Screen For(StandardStreams streams) =>
        streams.IsStyled
            ? new StyledScreen(streams.Output) { Width = streams.Width }
            : new PlainScreen(streams.Output) { Width = streams.Width };

    /// <summary>Writes one line as it is.</summary>
    public abstract void Line(string text = "", Ink ink = Ink.Plain);

    /// <summary>Writes a paragraph, wrapped to the width.</summary>
    /// <param name="text">The text.</param>
    /// <param name="first">What stands before the first line, for example a number.</param>
    /// <param name="rest">What stands before the other lines; null for as many blanks as <paramref name="first"/> is long.</param>
    /// <param name="ink">How it looks.</param>
    public void Paragraph(string text, string first = "", string? rest = null, Ink ink = Ink.Plain)
    {
        rest ??= new string(' ', first.Length);
        var lead = first;
        foreach (var line in Wrapping.Lines(text, Width - Math.Max(first.Length, rest.Length)))
        {
            Line(lead + line, ink);
            lead = rest;
        }
    }

    /// <summary>Writes a heading with an empty line before it.</summary>
    public void Heading(string text)
    {
        Line();
        Line(text, Ink.Heading);
    }

    private sealed class PlainScreen(TextWriter output) : Screen
    {
        public override void Line(string text = "", Ink ink = Ink.Plain) =>
            output.Write(Visible.Text(text) + "\n");
    }

    private sealed class StyledScreen(TextWriter output) : Screen
    {
        private readonly IAnsiConsole _console = AnsiConsole.Create(
            new AnsiConsoleSettings { Out = new AnsiConsoleOutput(output) }
        );

        public override void Line(string text = "", Ink ink = Ink.Plain)
        {
            text = Visible.Text(text);
            if (ink == Ink.Plain)
            {
                output.Write(text + "\n");
                return;
            }
            var style =
                ink == Ink.Heading ? new Style(decoration: Decoration.Bold) : new Style(Color.Red);
            _console.Profile.Width = Math.Max(Width, text.Length + 1);
            _console.Write(new Text(text + "\n", style));
        }
    }
}
