using System.Collections.Immutable;
using NetAudit.Audits.Consequences;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Bench.Circuits;

/// <summary>What a suspect may have done to the rest of the unit, in words. Thread-safe.</summary>
internal sealed class Harm(Amplifier amplifier)
{
    private const int MostOverloads = 5;

    private readonly Lock _turn = new();
    private readonly Dictionary<string, ImmutableArray<string>> _known = [];
    private ConsequenceFinder? _finder;

    /// <summary>What else to look at when these faults are there, worst first; empty when they harm nothing that is rated.</summary>
    public ImmutableArray<string> Of(ImmutableArray<Fault> faults)
    {
        lock (_turn)
        {
            var key = VerdictWords.Faults(faults);
            if (!_known.TryGetValue(key, out var words))
            {
                _finder ??= ConsequenceFinder.Prepare(amplifier).Finder;
                _known[key] = words = _finder?.Of(faults) is { } found ? [.. Sentences(found)] : [];
            }
            return words;
        }
    }

    private IEnumerable<string> Sentences(Consequence found)
    {
        foreach (var hazard in found.Hazards)
        {
            yield return $"{hazard.Place} may carry {MeterText.Volts(hazard.Volts)} V: do not touch it before it is measured"
                + (hazard.IsInsulated ? "; only its insulation is between." : ".");
        }
        foreach (var fuse in found.Fuses.Where(fuse => fuse.Opening is not { Holds: true }))
        {
            yield return $"{fuse.Fuse}: {EngineeringNotation.Format(fuse.Amps, "A", 3)} went through it. Look whether it is whole, and of the rated value.";
        }
        foreach (var part in SuspectOverloads.Parts(amplifier, found).Take(MostOverloads))
        {
            yield return $"{part.Part}: {part.What} {EngineeringNotation.Format(part.Value, part.Unit, 3)} of {EngineeringNotation.Format(part.Limit, part.Unit, 3)}.";
        }
    }
}
