using System.CommandLine;
using System.Text.RegularExpressions;
using NetAudit.Cli;
using NetAudit.Cli.Manuals;
using NetAudit.Cli.Terminals;
using NetAudit.Tests.Documents;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>The manual, on a terminal and as a page for <c>man</c>.</summary>
public sealed partial class ManualTests
{
    private static readonly string[] Sections =
    [
        "NAME",
        "SYNOPSIS",
        "DESCRIPTION",
        "OPTIONS",
        "EXIT STATUS",
        "FILES",
        "EXAMPLES",
        "CAUTIONS",
    ];

    [Fact]
    public async Task Manual_NamesEveryVerbAndOption()
    {
        var run = await CommandRun.HereAsync("", "manual");

        Assert.Equal(0, run.ExitCode);
        AssertNamesAll(run.Output);
        Assert.Equal(Sections, run.Output.Split('\n').Where(line => Section().IsMatch(line)));
    }

    [Theory]
    [InlineData]
    [InlineData("diagnose")]
    [InlineData("jobs")]
    [InlineData("jobs", "report")]
    public async Task Manual_FitsIn80Columns(params string[] verb)
    {
        var run = await CommandRun.HereAsync("", ["manual", .. verb]);

        Assert.Equal(0, run.ExitCode);
        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
    }

    [Fact]
    public async Task Manual_OfAVerb_IsAboutThatVerbOnly()
    {
        var run = await CommandRun.HereAsync("", "manual", "jobs", "report");

        Assert.Contains(
            "    netaudit-jobs-report - write the owner's report, or the full record, as HTML\n",
            run.Output,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "SYNOPSIS\n    netaudit jobs report JOB [OPTIONS]\n",
            run.Output,
            StringComparison.Ordinal
        );
        Assert.Contains("    -o, --output FILE\n", run.Output, StringComparison.Ordinal);
        Assert.Contains("    -?, -h, --help\n", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("--complaint WORDS", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Manual_ValueThatAnOptionHasByItself_IsSaid()
    {
        var run = await CommandRun.HereAsync("", "manual", "diagnose");

        Assert.Contains("1 to 5. Otherwise 4.\n", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("nope")]
    [InlineData("jobs", "nope")]
    [InlineData("solve", "expect")]
    public async Task Manual_OfNoVerb_IsRefused(params string[] verb)
    {
        var run = await CommandRun.HereAsync("", ["manual", .. verb]);

        Assert.Equal(2, run.ExitCode);
        Assert.Contains($"there is no command \"{verb[^1]}\"", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(".start of a line", "\\&.start of a line")]
    [InlineData("'start of a line", "\\&\\(aqstart of a line")]
    [InlineData("--off", "\\-\\-off")]
    [InlineData("a \\ b", "a \\(rs b")]
    [InlineData("the sheet's ~", "the sheet\\(aqs \\(ti")]
    [InlineData("BLOCK,…", "BLOCK,...")]
    [InlineData("47 Ω", "47 \\[u03A9]")]
    public void Roff_WhatItWouldTakeForItsOwn_IsEscaped(string text, string escaped)
    {
        using var page = new StringWriter();

        ManualRoff.Write(page, "netaudit", "1.2.3", [new ManualParagraph(text)]);

        Assert.Equal(
            $".TH \"NETAUDIT\" 1 \"\" \"NetAudit 1.2.3\"\n.ad l\n.nh\n.PP\n{escaped}\n",
            page.ToString()
        );
    }

    [Theory]
    [InlineData("groff -K utf8 -man -Tutf8 -ww -rLL=80n", "groff")]
    [InlineData("LC_ALL=C.UTF-8 MANWIDTH=80 man --warnings -E UTF-8 -l -", "man")]
    public async Task Roff_IsReadWithoutAWarning(string reader, string program)
    {
        var (missing, _) = await ConsoleSession.ShellAsync($"command -v {program}", ".");
        Assert.SkipWhen(missing != 0, $"{program} is missing");

        var (code, shown) = await ConsoleSession.ShellAsync(
            $"set -o pipefail; netaudit manual --roff | {reader} 2>&1 | col -bx",
            Repository.File(".")
        );

        Assert.Equal(0, code);
        Assert.DoesNotContain("warning", shown, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("<standard input>", shown, StringComparison.Ordinal);
        AssertNamesAll(shown);
        Assert.Equal(Sections, shown.Split('\n').Where(line => Section().IsMatch(line)));
        Assert.All(shown.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
    }

    private static void AssertNamesAll(string page)
    {
        using var nothing = new StringWriter();
        var root = CommandLine.Root(new StandardStreams(TextReader.Null, nothing, nothing));
        Assert.NotEmpty(root.Subcommands);
        foreach (var verb in root.Subcommands)
        {
            AssertNames(page, verb, "netaudit " + verb.Name);
        }
    }

    // What a verb takes stands between its own heading and the next.
    private static void AssertNames(string page, Command verb, string heading)
    {
        var part = Regex.Match(
            page,
            $@"^ +{heading}[^a-z\n]*\[OPTIONS\]\n(?:(?! +netaudit .*\[OPTIONS\]$).*\n)*",
            RegexOptions.Multiline
        );
        Assert.True(part.Success, heading);
        Assert.All(
            verb.Options.Where(option => option.Name is not "--help"),
            option =>
                Assert.Matches($@"(?m)^ +(-\w, )?{option.Name}( [A-Z,|a-z….]+)?( |$)", part.Value)
        );
        foreach (var below in verb.Subcommands)
        {
            AssertNames(page, below, $"{heading} {below.Name}");
        }
    }

    [GeneratedRegex("^[A-Z][A-Z ]+$")]
    private static partial Regex Section();
}
