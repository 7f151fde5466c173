using System.CommandLine;
using NetAudit.Bench.Hosting;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit bench [CIRCUIT]</c></summary>
internal static class BenchCommand
{
    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "bench",
            "Serve the bench page: jobs, readings, answers and reports in the browser."
        );
        var circuits = new Argument<string?>("CIRCUIT")
        {
            Description = "Netlist, or folder of netlists, that jobs can be opened for.",
            Arity = ArgumentArity.ZeroOrOne,
        };
        var port = new Option<int?>("--port")
        {
            Description =
                $"Port; 0 takes any free one (default: {BenchOptions.UsualPort}, or any when that is taken).",
            HelpName = "NUMBER",
        };
        var lan = new Option<bool>("--lan")
        {
            Description =
                "Serve the local network too: each device needs a one-time code that is printed here. Not encrypted.",
        };
        var noBrowser = new Option<bool>("--no-browser")
        {
            Description = "Do not open the browser.",
        };
        verb.Add(circuits);
        verb.Add(port);
        verb.Add(lan);
        verb.Add(noBrowser);
        port.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<int?>() is < 0 or > 65535)
            {
                result.AddError("--port takes a number from 0 to 65535");
            }
        });
        var jobs = new JobStoreInput(verb);
        verb.SetAction(
            async (parsed, cancellation) =>
            {
                var options = new BenchOptions
                {
                    Circuits = parsed.GetValue(circuits),
                    Jobs = jobs.PathOf(parsed),
                    Port = parsed.GetValue(port),
                    IsLan = parsed.GetValue(lan),
                    OpensBrowser = !parsed.GetValue(noBrowser),
                    Output = streams.Output,
                    Program = typeof(BenchCommand).Assembly.GetName().Name!,
                };
                return await BenchServer.RunAsync(options, cancellation) is { } problem
                    ? DiagnosticReport.Refuse(streams, jobs.IsJson(parsed), [problem])
                    : ExitCodes.NothingWrong;
            }
        );
        return verb;
    }
}
