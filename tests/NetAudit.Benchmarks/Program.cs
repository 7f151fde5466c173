using NetAudit.Benchmarks.TubeFits;

var verb = args.FirstOrDefault();
switch (verb)
{
    case "fit-tubes":
        return FitTubesCommand.Run(args.ElementAtOrDefault(1));
    default:
        Console.Error.WriteLine("verbs: fit-tubes");
        return 2;
}
