using System.CommandLine;
using System.CommandLine.Help;
using NetAudit.Diagnosis;

namespace NetAudit.Cli.Manuals;

/// <summary>The manual of the command or of one verb, from the same tree of verbs and options that the command line is parsed with.</summary>
internal static class ManualPage
{
    private static readonly ManualEntry[] Files =
    [
        new("NAME.cir", "The circuit of a healthy unit, a SPICE netlist."),
        new("NAME.sheet.toml", "Its service sheet, taken when it stands beside the netlist."),
        new("*.csv", "Readings: point, kind, value, condition, one reading a line."),
        new("*.toml", "A calibration that netaudit calibrate wrote."),
        new("netaudit/jobs.db", "The jobs, in the data folder of the user."),
    ];

    /// <summary>What the page is called, for example netaudit-jobs-report.</summary>
    public static string Name(IReadOnlyList<Command> path) => string.Join('-', Words(path));

    /// <summary>The blocks of a page, in the usual order of its sections.</summary>
    /// <param name="path">The command, and each verb down to the one that the page is about.</param>
    public static IEnumerable<ManualBlock> Of(IReadOnlyList<Command> path)
    {
        var subject = path[^1];
        yield return new ManualSection("NAME");
        yield return new ManualParagraph($"{Name(path)} - {Uncapitalised(subject.Description!)}");
        yield return new ManualSection("SYNOPSIS");
        yield return new ManualLine(Synopsis(path));
        yield return new ManualSection("DESCRIPTION");
        foreach (var block in Description(path))
        {
            yield return block;
        }
        yield return new ManualSection("OPTIONS");
        foreach (var option in Options(subject).Concat(path[0].Options.Where(IsOfEveryVerb)))
        {
            yield return Entry(option);
        }
        yield return new ManualSection("EXIT STATUS");
        foreach (var (code, meaning) in ExitCodes.Meanings)
        {
            yield return new ManualEntry($"{code}", Capitalised(meaning) + ".");
        }
        yield return new ManualSection("FILES");
        foreach (var file in Files)
        {
            yield return file;
        }
        yield return new ManualSection("EXAMPLES");
        foreach (var block in ExamplesOf(path))
        {
            yield return block;
        }
        yield return new ManualSection("CAUTIONS");
        yield return new ManualParagraph(
            "Amplifiers hold voltages that kill, also with the plug pulled. Pull the plug, discharge the capacitors of the supply through a "
                + "resistor with insulated leads, and measure below 50 V on each before you touch or solder."
        );
        foreach (var caution in Cautions.OfAnyUnit)
        {
            yield return new ManualParagraph(caution);
        }
        yield return new ManualParagraph(
            "A suspect is not a verdict: it is the likeliest of the faults that were weighed, for the circuit as drawn. Check it before you "
                + "replace it."
        );
    }

    private static IEnumerable<ManualBlock> Description(IReadOnlyList<Command> path)
    {
        var subject = path[^1];
        yield return new ManualParagraph(subject.Description!);
        foreach (var argument in subject.Arguments)
        {
            yield return Entry(argument);
        }
        foreach (var verb in subject.Subcommands)
        {
            foreach (var block in Part([.. path, verb]))
            {
                yield return block;
            }
        }
    }

    // A verb within the page of what stands above it, with all that stands below.
    private static IEnumerable<ManualBlock> Part(IReadOnlyList<Command> path)
    {
        var verb = path[^1];
        yield return new ManualPart(Synopsis(path));
        yield return new ManualParagraph(verb.Description!);
        foreach (var argument in verb.Arguments)
        {
            yield return Entry(argument);
        }
        foreach (var option in Options(verb))
        {
            yield return Entry(option);
        }
        foreach (var block in verb.Subcommands.SelectMany(below => Part([.. path, below])))
        {
            yield return block;
        }
    }

    private static string Synopsis(IReadOnlyList<Command> path)
    {
        var verb = path[^1];
        var words = Words(path)
            .Concat(verb.Arguments.Select(Label))
            .Concat(verb.Subcommands.Count > 0 ? ["VERB"] : [])
            .Append("[OPTIONS]");
        return string.Join(' ', words);
    }

    private static IEnumerable<ManualBlock> ExamplesOf(IReadOnlyList<Command> path)
    {
        var text = Examples.Of(path[^1], path.Count > 1 ? path[^2] : null);
        foreach (var line in text.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            var words = line.TrimStart();
            yield return line.StartsWith("    ", StringComparison.Ordinal)
                ? new ManualLine(line[4..])
                : new ManualParagraph(words);
        }
    }

    private static IEnumerable<Option> Options(Command verb) =>
        verb.Options.Where(option => !IsOfEveryVerb(option));

    private static bool IsOfEveryVerb(Option option) => option is HelpOption or VersionOption;

    private static ManualEntry Entry(Argument argument) =>
        new(Label(argument), argument.Description!);

    private static ManualEntry Entry(Option option)
    {
        // The aliases that start with a slash are another system's.
        var names = option
            .Aliases.Append(option.Name)
            .Where(name => name.StartsWith('-'))
            .OrderBy(name => name.Length)
            .ThenBy(name => name, StringComparer.Ordinal);
        var value = option.HelpName is { } label ? $" {label}" : "";
        var otherwise =
            option.HasDefaultValue && option.GetDefaultValue() is { } standard and not false
                ? $" Otherwise {standard}."
                : "";
        return new(string.Join(", ", names) + value, option.Description + otherwise);
    }

    private static string Label(Argument argument)
    {
        var label = argument.HelpName ?? argument.Name;
        var many = argument.Arity.MaximumNumberOfValues > 1 ? label + "..." : label;
        return argument.Arity.MinimumNumberOfValues == 0 ? $"[{many}]" : many;
    }

    // The root is called after the file that was started, whatever that is.
    private static IEnumerable<string> Words(IReadOnlyList<Command> path) =>
        path.Skip(1).Select(command => command.Name).Prepend("netaudit");

    private static string Uncapitalised(string text) =>
        char.ToLowerInvariant(text[0]) + text[1..].TrimEnd('.');

    private static string Capitalised(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
