using System.Collections.Frozen;
using NetAudit.Benchmarks.Accuracy;
using NetAudit.Benchmarks.Answers;
using NetAudit.Benchmarks.Consequences;
using NetAudit.Benchmarks.Convergence;
using NetAudit.Benchmarks.Matching;
using NetAudit.Benchmarks.NextReadings;
using NetAudit.Benchmarks.Speed;
using NetAudit.Benchmarks.TubeFits;

namespace NetAudit.Benchmarks;

/// <summary>What can be measured, by the word after the program's name.</summary>
internal static class Verbs
{
    private static readonly string[] Files = ["samples", "output"];
    private static readonly Verb Accuracy = new(
        AccuracyCommand.Run,
        [
            .. Files,
            "circuits",
            "evidence",
            "seed",
            "healthy",
            "singles",
            "pairs",
            "triples",
            "scores",
            "keep",
        ]
    );
    private static readonly Verb Speed = new(SpeedCommand.Run, [.. Files, "command"]);
    private static readonly Verb Convergence = new(
        ConvergenceCommand.Run,
        [.. Files, "circuits", "pairs"]
    );

    public static FrozenDictionary<string, Verb> All { get; } =
        new Dictionary<string, Verb>
        {
            ["accuracy"] = Accuracy,
            ["answers"] = new(
                AnswersCommand.Run,
                [.. Files, "circuit", "units", "readings", "seed"]
            ),
            ["speed"] = Speed,
            ["convergence"] = Convergence,
            ["consequences"] = new(ConsequencesCommand.Run, Files),
            ["agreement"] = new(AgreementCommand.Run, ["output", "seeds"]),
            ["matching"] = new(MatchingCommand.Run, [.. Files, "seeds"]),
            ["next"] = new(
                NextReadingsCommand.Run,
                [.. Files, "circuits", "singles", "pairs", "seed", "strategy"]
            ),
            ["figures"] = new(
                options => Convergence.Run(options) | Speed.Run(options) | Accuracy.Run(options),
                [.. Convergence.Options.Union(Speed.Options).Union(Accuracy.Options)]
            ),
            ["fit-tubes"] = new(_ => FitTubesCommand.Run(), []),
        }.ToFrozenDictionary();
}
