using System.Collections.Immutable;
using NetAudit.Bench.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Practice;

namespace NetAudit.Bench.Sessions;

/// <summary>One search for hidden faults: what was read, what was named. Readings and answers take turns, so both may be asked for at once.</summary>
public sealed class PracticeRun
{
    private readonly Lock _turn = new();
    private readonly PracticeBench _bench;
    private readonly PracticeUnit _unit;

    private PracticeRun(PreparedCircuit circuit, PracticeBench bench, PracticeUnit unit) =>
        (Circuit, _bench, _unit) = (circuit, bench, unit);

    /// <summary>Which unit it is: the circuit's name in addresses, how many faults are hidden, and the seed.</summary>
    public required (string Circuit, int Faults, int Seed) Unit { get; init; }

    /// <summary>The circuit.</summary>
    public PreparedCircuit Circuit { get; }

    /// <summary>What the owner complains of.</summary>
    public string Complaint => _unit.Complaint;

    /// <summary>Readings taken, in order, with what a healthy unit shows.</summary>
    public ImmutableArray<(Reading Reading, ExpectedReading? Expected)> Taken
    {
        get;
        private set;
    } = [];

    /// <summary>How often the program's answer was looked at.</summary>
    public int Looks { get; private set; }

    /// <summary>How often wrong parts were named.</summary>
    public int WrongNames { get; private set; }

    /// <summary>True when the faults were named.</summary>
    public bool IsFound { get; private set; }

    /// <summary>True when they were named or the search was given up.</summary>
    public bool IsOver { get; private set; }

    /// <summary>What the search was worth; null until it is over and the program has tried itself.</summary>
    public PracticeScore? Score { get; private set; }

    /// <summary>What was hidden; empty until the search is over.</summary>
    public ImmutableArray<Fault> Hidden => IsOver ? _unit.Faults : [];

    /// <summary>Hides faults in a unit of a circuit, or says why that cannot be done.</summary>
    /// <param name="circuit">The circuit.</param>
    /// <param name="name">What it is called in addresses.</param>
    /// <param name="faults">How many faults to hide.</param>
    /// <param name="seed">Which unit.</param>
    public static (PracticeRun? Run, string? Reason) Begin(
        PreparedCircuit circuit,
        string name,
        int faults,
        int seed
    )
    {
        ArgumentNullException.ThrowIfNull(circuit);
        var (bench, problem) = PracticeBench.Prepare(circuit.Amplifier!);
        return bench is null
            ? (null, problem?.Message)
            : (new(circuit, bench, bench.Hide(faults, seed)) { Unit = (name, faults, seed) }, null);
    }

    /// <summary>Takes a reading at a place as typed: <c>p1</c>, <c>out ac</c>, <c>R12 ohms</c>, <c>out listen @ pull V1</c>.</summary>
    /// <returns>Why it could not be taken, or null.</returns>
    public string? Take(string place)
    {
        ArgumentNullException.ThrowIfNull(place);
        var at = place.LastIndexOf('@');
        var (where, condition) = at < 0 ? (place, "") : (place[..at], place[at..]);
        var value = where.Contains(" listen", StringComparison.OrdinalIgnoreCase) ? "normal" : "1";
        var typed = TypedReading.Read(
            $"{where.Trim()} {value} {condition}".Trim(),
            Circuit.Amplifier!
        );
        if (typed.Readings is not [var wanted])
        {
            var problem = typed.Diagnostics.First(found => found.Severity == Severity.Error);
            return problem.Mend is { } mend ? $"{problem.Message}: {mend}" : problem.Message;
        }
        Reading? shown;
        lock (_turn)
        {
            shown = _unit.Take(wanted);
        }
        if (shown is not { } reading)
        {
            return "Nothing can be said there: hidden faults are found with the meter (volts, ohms) and by listening.";
        }
        Taken = Taken.Add((reading, Circuit.For(reading)));
        return null;
    }

    /// <summary>What the program makes of the readings so far; that counts.</summary>
    public DiagnosisResult Look()
    {
        Looks++;
        Reading[] readings = [.. Taken.Select(taken => taken.Reading)];
        lock (_turn)
        {
            return _bench.Answer(readings, _unit);
        }
    }

    /// <summary>Names the parts at fault.</summary>
    public bool Name(IEnumerable<string> parts)
    {
        IsFound = IsOver = _unit.IsRight(parts);
        WrongNames += IsFound ? 0 : 1;
        return IsFound;
    }

    /// <summary>Ends the search without a name.</summary>
    public void GiveUp() => IsOver = true;

    /// <summary>Lets the program try itself and counts the points; only after the search is over.</summary>
    public void Count()
    {
        lock (_turn)
        {
            var own = _bench.OwnReadings(_unit);
            Score = new(Taken.Length, Looks, WrongNames, IsFound, own);
        }
    }
}
