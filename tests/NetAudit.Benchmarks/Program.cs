using NetAudit.Benchmarks.Accuracy;
using NetAudit.Benchmarks.Answers;
using NetAudit.Benchmarks.Consequences;
using NetAudit.Benchmarks.Convergence;
using NetAudit.Benchmarks.Figures;
using NetAudit.Benchmarks.Matching;
using NetAudit.Benchmarks.NextReadings;
using NetAudit.Benchmarks.Speed;
using NetAudit.Benchmarks.TubeFits;

var verb = args.FirstOrDefault();
var options = new Options([.. args.Skip(1)]);
switch (verb)
{
    case "accuracy":
        return AccuracyCommand.Run(options);
    case "answers":
        return AnswersCommand.Run(options);
    case "speed":
        return SpeedCommand.Run(options);
    case "convergence":
        return ConvergenceCommand.Run(options);
    case "consequences":
        return ConsequencesCommand.Run(options);
    case "agreement":
        return AgreementCommand.Run(options);
    case "matching":
        return MatchingCommand.Run(options);
    case "next":
        return NextReadingsCommand.Run(options);
    case "figures":
        return ConvergenceCommand.Run(options)
            | SpeedCommand.Run(options)
            | AccuracyCommand.Run(options);
    case "fit-tubes":
        return FitTubesCommand.Run();
    default:
        Console.Error.WriteLine(
            "verbs: accuracy, answers, speed, convergence, figures (accuracy, speed, convergence), matching, next, fit-tubes"
        );
        return 2;
}
