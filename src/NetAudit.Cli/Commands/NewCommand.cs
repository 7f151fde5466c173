using System.CommandLine;
using NetAudit.Circuits.Blocks;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit new NAME --chain BLOCK,BLOCK,…</c>, and <c>netaudit new --blocks</c></summary>
internal sealed class NewCommand
{
    private readonly Argument<string?> _name = new("NAME")
    {
        Description = "The files NAME.cir and NAME.sheet.toml are written.",
        Arity = ArgumentArity.ZeroOrOne,
    };

    private readonly Option<string?> _chain = new("--chain")
    {
        Description = "Building blocks along the signal path, the supply last.",
        HelpName = "BLOCK,BLOCK,…",
    };

    private readonly Option<string?> _title = new("--title")
    {
        Description = "What the amplifier is called; NAME otherwise.",
        HelpName = "TEXT",
    };

    private readonly Option<bool> _blocks = new("--blocks") { Description = "List the blocks." };

    private readonly StandardStreams _streams;

    private NewCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        verb.Add(_name);
        verb.Add(_chain);
        verb.Add(_title);
        verb.Add(_blocks);
        verb.Validators.Add(result =>
        {
            var complete =
                result.GetResult(_name) is { Tokens.Count: > 0 }
                && result.GetResult(_chain) is not null;
            if (!complete && result.GetResult(_blocks) is null)
            {
                result.AddError("give NAME and --chain, or --blocks");
            }
        });
        _chain.CompletionSources.Add(BuildingBlock.All.Select(block => block.Name).ToArray());
        verb.SetAction(Run);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command("new", "Begin a circuit: netlist and sheet from building blocks.");
        _ = new NewCommand(verb, streams);
        return verb;
    }

    private int Run(ParseResult parsed)
    {
        if (parsed.GetValue(_blocks))
        {
            return List();
        }
        var names = parsed
            .GetValue(_chain)!
            .Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries);
        var (chain, problem, mend) = BlockChain.Of(names);
        if (chain is null)
        {
            return DiagnosticReport.Refuse(_streams, json: false, problem!, mend);
        }
        var name = parsed.GetValue(_name)!;
        var netlist = name + ".cir";
        var title = parsed.GetValue(_title) ?? Path.GetFileName(name);
        if (title.AsSpan().ContainsAnyInRange('\0', '\x1f') || title.AsSpan().ContainsAny("\"\\"))
        {
            return DiagnosticReport.Refuse(
                _streams,
                json: false,
                "a title has no quotes, backslashes or line ends"
            );
        }
        var sheet = name + ".sheet.toml";
        // Both or none: half a circuit is in the way of the next try.
        if (new[] { netlist, sheet }.FirstOrDefault(File.Exists) is { } there)
        {
            return Refuse(there, "it exists");
        }
        var skeleton = CircuitSkeleton.Of(title, Path.GetFileName(netlist), chain);
        return Write(netlist, skeleton.Netlist) && Write(sheet, skeleton.Sheet)
            ? ExitCodes.NothingWrong
            : ExitCodes.BadInput;
    }

    private int List()
    {
        var screen = Screen.For(_streams);
        var table = new TextTable(("block", Side.Left), ("what it is", Side.Left));
        foreach (var block in BuildingBlock.All)
        {
            table.Add(block.Name, block.Title);
        }
        table.Write(screen);
        return ExitCodes.NothingWrong;
    }

    private int Refuse(string path, string why) =>
        DiagnosticReport.Refuse(
            _streams,
            json: false,
            $"{path} cannot be written: {why}",
            "choose another name; a file that is there is never written over"
        );

    // Never over a file that is there: it may be an evening's work.
    private bool Write(string path, string text)
    {
        try
        {
            using var file = new FileStream(path, FileMode.CreateNew, FileAccess.Write);
            using var writer = new StreamWriter(file);
            writer.Write(text);
        }
        catch (Exception problem)
            when (problem is IOException or UnauthorizedAccessException or ArgumentException)
        {
            Refuse(path, problem.Message);
            return false;
        }
        _streams.Output.Write($"{path} is written.\n");
        return true;
    }
}
