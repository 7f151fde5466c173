using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Jobs.Reports;

/// <summary>Parts and faults in the words of someone who has never opened an amplifier.</summary>
internal static class PlainWords
{
    /// <summary>The confirmed cause as a sentence, or null when none was written.</summary>
    public static string? Cause(Job job, Amplifier? amplifier)
    {
        var part = job[JobField.CausePart].Trim();
        if (part.Length == 0)
        {
            return null;
        }
        var kind = amplifier?.FindPart(part)?.Class;
        return $"{Article(kind)} (marked {part}) {Happened(job[JobField.CauseMode].Trim())}.";
    }

    /// <summary>What was done, as the beginning of a sentence.</summary>
    public static string Done(StepKind kind) =>
        kind switch
        {
            StepKind.Replaced => "Replaced",
            StepKind.Reflowed => "Soldered again",
            StepKind.Cleaned => "Cleaned",
            StepKind.Adjusted => "Adjusted",
            _ => "Done",
        };

    /// <summary>What the readings say before and after, or null when they say nothing.</summary>
    public static string? Outcome(
        IReadOnlyCollection<JudgedReading> before,
        IReadOnlyCollection<JudgedReading> after
    )
    {
        var (outBefore, allBefore) = Count(before);
        var (outAfter, allAfter) = Count(after);
        if (allBefore == 0)
        {
            return null;
        }
        var found =
            outBefore == 0
                ? $"We measured {Values(before, allBefore)} inside the unit; all lay where a sound unit has them."
                : $"We measured {Values(before, allBefore)} inside the unit; {Number(outBefore)} lay outside what a sound unit shows.";
        return (allAfter, outAfter) switch
        {
            (0, _) => found,
            (_, 0) =>
                $"{found} After the work we measured {Values(after, allAfter)}; all are as they should be.",
            _ =>
                $"{found} After the work we measured {Values(after, allAfter)}; {Number(outAfter)} still lie outside.",
        };
    }

    private static (int Out, int All) Count(IEnumerable<JudgedReading> readings)
    {
        // A place read twice counts once, as it was read last.
        var judged = readings
            .Where(reading => reading.IsWithin is not null)
            .GroupBy(reading => reading.Place)
            .Select(place => place.Last())
            .ToArray();
        return (judged.Count(reading => reading.IsWithin == false), judged.Length);
    }

    private static string Values(IEnumerable<JudgedReading> readings, int count)
    {
        var noun = readings.All(r => r.IsWithin is null || r.Reading!.Kind != ReadingKind.Ohms)
            ? "voltage"
            : "value";
        return count == 1 ? $"one {noun}" : $"{count} {noun}s";
    }

    private static string Number(int count) => count == 1 ? "one" : $"{count}";

    private static string Article(PartClass? kind) =>
        kind switch
        {
            PartClass.Tube => "A tube",
            PartClass.Resistor => "A resistor",
            PartClass.Capacitor or PartClass.Electrolytic => "A capacitor",
            PartClass.Winding => "A winding of a transformer or choke",
            PartClass.Potentiometer => "A control",
            PartClass.Diode => "A rectifier or diode",
            PartClass.BipolarTransistor or PartClass.JunctionFet or PartClass.MosFet =>
                "A transistor",
            PartClass.Fuse => "A fuse",
            PartClass.Contact => "A contact",
            PartClass.Supply => "The power supply",
            _ => "A part",
        };

    private static string Happened(string mode)
    {
        bool Is(params ReadOnlySpan<FaultMode> modes)
        {
            foreach (var candidate in modes)
            {
                if (mode == candidate.Name())
                {
                    return true;
                }
            }
            return false;
        }
        return mode.Length == 0 ? "had failed"
            : Is(FaultMode.OpenJoint, FaultMode.ResistiveJoint)
                ? "made bad contact at a soldered joint"
            : Is(FaultMode.Bridged, FaultMode.Short) ? "had an unwanted connection"
            : Is(FaultMode.Weak, FaultMode.Dead, FaultMode.Gassy) ? "was worn out"
            : Is(FaultMode.Drifted) ? "had changed its value with age"
            : Is(FaultMode.WrongValue) ? "was of the wrong value"
            : Is(FaultMode.Leaky) ? "let current through that it should block"
            : "had failed";
    }
}
