using NetAudit.Benchmarks.Accuracy;
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
    case "speed":
        return SpeedCommand.Run(options);
    case "convergence":
        return ConvergenceCommand.Run(options);
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
            "verbs: accuracy, speed, convergence, figures (all three), matching, next, fit-tubes"
        );
        return 2;
}
