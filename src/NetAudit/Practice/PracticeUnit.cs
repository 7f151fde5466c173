using System.Collections.Immutable;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Practice;

/// <summary>A unit with hidden faults. Any reading can be taken of it, in any order, and gives the same each time. Not thread-safe.</summary>
public sealed class PracticeUnit
{
    private readonly SimulatedUnit _unit;

    internal PracticeUnit(SimulatedUnit unit, string complaint) =>
        (_unit, Complaint) = (unit, complaint);

    /// <summary>What its owner complains of.</summary>
    public string Complaint { get; }

    /// <summary>What is wrong with it: to be shown at the end.</summary>
    public ImmutableArray<Fault> Faults => [.. _unit.Named];

    /// <summary>What the meter shows, or the ear hears; null when nothing can be said.</summary>
    /// <param name="reading">Where, of what kind, in which condition; its value is not looked at.</param>
    public Reading? Take(Reading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        return _unit.Take(reading);
    }

    /// <summary>Whether these parts, in any order, are the ones at fault, or could not be told from them by any reading.</summary>
    public bool IsRight(IEnumerable<string> parts)
    {
        var accused = parts
            .Select(part => part.Trim())
            .Where(part => part.Length > 0)
            .ToHashSet(StringComparer.OrdinalIgnoreCase);
        return accused.Count == _unit.Faults.Members.Length
            && _unit.Faults.Members.All(member => member.Parts.Any(accused.Contains));
    }

    /// <summary>Whether a suspect, or a set that nothing tells from it, names the parts at fault.</summary>
    internal bool Has(Suspect suspect) =>
        suspect
            .Equivalents.Prepend(suspect.Faults)
            .Any(set => IsRight(set.Select(fault => fault.Part)));
}
