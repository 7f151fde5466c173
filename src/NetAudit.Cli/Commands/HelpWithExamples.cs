using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using System.CommandLine.Parsing;
using NetAudit.Cli.Manuals;

namespace NetAudit.Cli.Commands;

/// <summary>The usual help, then examples and exit codes.</summary>
internal sealed class HelpWithExamples(HelpAction usual) : SynchronousCommandLineAction
{
    public override bool ClearsParseErrors => true;

    public override int Invoke(ParseResult parseResult)
    {
        usual.Invoke(parseResult);
        var output = parseResult.InvocationConfiguration.Output;
        var verb = parseResult.CommandResult;
        output.Write("Examples:\n");
        output.Write(
            Examples.Of(verb.Command, (verb.Parent as CommandResult)?.Command) + "\nExit codes:\n"
        );
        foreach (var (code, meaning) in ExitCodes.Meanings)
        {
            output.Write($"  {code, -3}  {meaning}\n");
        }
        return ExitCodes.NothingWrong;
    }
}
