using System.Collections.Frozen;
using NetAudit.Benchmarks.Accuracy;
using NetAudit.Benchmarks.Answers;
using NetAudit.Benchmarks.Consequences;
using NetAudit.Benchmarks.Convergence;
using NetAudit.Benchmarks.Figures;
using NetAudit.Benchmarks.Matching;
using NetAudit.Benchmarks.NextReadings;
using NetAudit.Benchmarks.Speed;
using NetAudit.Benchmarks.TubeFits;

namespace NetAudit.Benchmarks;

/// <summary>What can be measured, by the word after the program's name.</summary>
internal static class Verbs
{
    public static FrozenDictionary<string, Func<Options, int>> All { get; } =
        new Dictionary<string, Func<Options, int>>
        {
            ["accuracy"] = AccuracyCommand.Run,
            ["answers"] = AnswersCommand.Run,
            ["speed"] = SpeedCommand.Run,
            ["convergence"] = ConvergenceCommand.Run,
            ["consequences"] = ConsequencesCommand.Run,
            ["agreement"] = AgreementCommand.Run,
            ["matching"] = MatchingCommand.Run,
            ["next"] = NextReadingsCommand.Run,
            ["figures"] = options =>
                ConvergenceCommand.Run(options)
                | SpeedCommand.Run(options)
                | AccuracyCommand.Run(options),
            ["fit-tubes"] = _ => FitTubesCommand.Run(),
        }.ToFrozenDictionary();
}
