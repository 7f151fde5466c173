using System.CommandLine;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Jobs;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit jobs report</c> and <c>netaudit jobs shop</c></summary>
internal static class JobReportCommand
{
    public static Command Report(StandardStreams streams)
    {
        var verb = new Command("report", "Write the owner's report, or the full record, as HTML.");
        var number = JobsCommand.Number();
        var full = new Option<bool>("--full") { Description = "The bench's full record." };
        verb.Add(number);
        verb.Add(full);
        var output = JobFilesCommand.Output(verb);
        var input = new JobStoreInput(verb);
        verb.SetAction(
            async (parsed, cancellation) =>
            {
                using var store = input.Open(parsed, streams);
                if (store is null)
                {
                    return ExitCodes.BadInput;
                }
                if (store.Load(parsed.GetValue(number)) is not { } job)
                {
                    return DiagnosticReport.Refuse(
                        streams,
                        input.IsJson(parsed),
                        [JobsCommand.NoJob(parsed.GetValue(number))]
                    );
                }
                var shop = ShopDetails.Of(store);
                var html = await Task.Run(
                    () =>
                        parsed.GetValue(full)
                            ? BenchRecord.ToHtml(job, shop, store.Learning.For(job), cancellation)
                            : OwnerReport.ToHtml(job, shop, cancellation),
                    cancellation
                );
                return JobFilesCommand.Write(streams, parsed.GetValue(output), html);
            }
        );
        return verb;
    }

    public static Command Shop(StandardStreams streams)
    {
        var verb = new Command("shop", "Set what stands at the head of reports.");
        (string Name, Option<string> Option)[] settings =
        [
            (ShopDetails.NameSetting, Text("--name", "The shop's name.")),
            (ShopDetails.AddressSetting, Text("--address", "Its address; \\n between lines.")),
            (ShopDetails.CurrencySetting, Text("--currency", "Its currency.")),
        ];
        foreach (var (_, option) in settings)
        {
            verb.Add(option);
        }
        var input = new JobStoreInput(verb);
        verb.SetAction(parsed =>
        {
            using var store = input.Open(parsed, streams);
            if (store is null)
            {
                return ExitCodes.BadInput;
            }
            foreach (var (name, option) in settings)
            {
                if (
                    parsed.GetValue(option) is { } text
                    && store.SetSetting(name, text.Replace("\\n", "\n", StringComparison.Ordinal))
                        is { } problem
                )
                {
                    return DiagnosticReport.Refuse(streams, input.IsJson(parsed), [problem]);
                }
            }
            var shop = ShopDetails.Of(store);
            streams.Output.Write($"{shop.Name}\n{shop.Address}\n{shop.Currency}\n");
            return ExitCodes.NothingWrong;
        });
        return verb;
    }

    private static Option<string> Text(string name, string description) =>
        new(name) { Description = description, HelpName = "TEXT" };
}
