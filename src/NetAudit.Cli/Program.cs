using NetAudit.Cli;
using NetAudit.Cli.Terminals;

return await CommandLine.RunAsync(args, StandardStreams.OfProcess());
