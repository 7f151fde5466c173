using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

// A circuit: the netlist, and the sheet beside it. What is wrong with them is in the result, never an exception.
var read = AmplifierReader.Read(args[0]);
if (read.Amplifier is not { } amplifier)
{
    Console.Error.WriteLine(string.Join('\n', read.Diagnostics));
    return 2;
}

// What a healthy unit reads.
foreach (var reading in Expectation.Of(amplifier).Readings.Take(3))
{
    Console.WriteLine(FormattableString.Invariant($"{reading.Point.Name}: {reading.Mean:0.0} V"));
}

// What is wrong with this one.
var readings = ReadingsFile.Read(args[1], amplifier);
var (diagnoser, problem) = Diagnoser.Prepare(amplifier);
if (diagnoser is null)
{
    Console.Error.WriteLine(problem);
    return 2;
}
var result = diagnoser.Diagnose(readings.Readings);
foreach (var suspect in result.Suspects.Take(2))
{
    Console.WriteLine(
        FormattableString.Invariant(
            $"{suspect.Probability:0.00}  {string.Join(" + ", suspect.Faults.Select(FaultWords.Describe))}"
        )
    );
}
return 0;
