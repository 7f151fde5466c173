using NetAudit.Benchmarks.TubeFits;

var verb = args.FirstOrDefault();
switch (verb)
{
    case "fit-tubes":
        return FitTubesCommand.Run();
    default:
        Console.Error.WriteLine("verbs: fit-tubes");
        return 2;
}
