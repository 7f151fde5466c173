using System.CommandLine;
using NetAudit.Audits.Variants;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit identify READINGS CIRCUIT...</c></summary>
internal static class IdentifyCommand
{
    /// <summary>From this probability on the variant counts as known.</summary>
    private const double Known = 0.95;

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command("identify", "Find which revision of a model is on the bench.");
        var file = new Argument<string>("READINGS")
        {
            Description = "Readings file (*.csv); - reads standard input.",
        };
        verb.Add(file);
        var input = new VariantInput(verb, atLeast: 2);
        verb.SetAction(
            async (parsed, cancellation) =>
            {
                if (input.Read(parsed, streams, cancellation) is not { } variants)
                {
                    return ExitCodes.BadInput;
                }
                var json = input.IsJson(parsed);
                var path = parsed.GetRequiredValue(file);
                var (text, problem) = await InputText.ReadAsync(path, streams, cancellation);
                if (text is null)
                {
                    return DiagnosticReport.Refuse(streams, json, problem!);
                }
                var readings = VariantReadings.Read(text, path, variants, cancellation);
                if (readings.NamedBy < 0 || readings.Readings[0].IsEmpty)
                {
                    return DiagnosticReport.Refuse(
                        streams,
                        json,
                        [.. readings.Diagnostics, Unusable(path)]
                    );
                }
                var answer = await Progress.DuringAsync(
                    streams,
                    "Weighing the variants",
                    () => VariantIdentification.Of(variants, readings, cancellation)
                );
                if (answer.Readings == 0)
                {
                    return DiagnosticReport.Refuse(streams, json, [Unusable(path)]);
                }
                DiagnosticReport.Remark(streams, json, readings.Diagnostics);
                if (json)
                {
                    var names = input.Names(parsed);
                    streams.Output.Write(IdentificationJson.ToText(answer, variants, names) + "\n");
                }
                else
                {
                    IdentificationReport.Write(Screen.For(streams), answer, variants);
                }
                return answer.Ranking[0].Probability >= Known
                    ? ExitCodes.NothingWrong
                    : ExitCodes.Found;
            }
        );
        return verb;
    }

    private static Diagnostic Unusable(string path) =>
        new(
            Severity.Error,
            null,
            $"{path} holds no reading that can be weighed for every one of these circuits",
            "name the points as one of the circuits does, and give that circuit first"
        );
}
