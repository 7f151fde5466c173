using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>Which readings can be weighed; what cannot is said.</summary>
internal static class ReadingSelection
{
    public static (List<Reading> Weighed, List<string> Notes) Of(IReadOnlyList<Reading> readings)
    {
        var weighed = new List<Reading>();
        var notes = new List<string>();
        foreach (var reading in readings)
        {
            var why = reading switch
            {
                { Kind: not ReadingKind.Dc } =>
                    $"readings of kind {reading.Kind.ToString().ToLowerInvariant()} are not weighed yet",
                { Condition.Terms.IsEmpty: false } =>
                    $"readings in condition \"{reading.Condition.Text}\" are not weighed yet",
                _ when !double.IsFinite(reading.Value) =>
                    "an over-range voltage says nothing exact",
                _ when reading.Node == reading.RefNode => "both probes are on one node",
                _ => null,
            };
            if (why is null)
            {
                weighed.Add(reading);
            }
            else
            {
                notes.Add($"{reading.Where}: {reading.At} is left out: {why}.");
            }
        }
        return (weighed, notes);
    }
}
