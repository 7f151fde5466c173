using System.Text.Json.Serialization;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>How one unit was judged.</summary>
/// <param name="Faults">Number of faults put in; 0 for a healthy unit.</param>
/// <param name="First">The first suspect is right by parts; for a healthy unit, that no fault was claimed.</param>
/// <param name="FirstThree">One of the first three suspects is right by parts.</param>
/// <param name="Strict">The first suspect is right in part, pin and mode.</param>
/// <param name="Equivalents">Number of equivalents of the first suspect.</param>
/// <param name="Probability">Probability of the first suspect; 0 when there is none.</param>
/// <param name="Seconds">Time of the diagnosis.</param>
/// <param name="Miss">What went wrong, in words; null when <paramref name="First"/> is true.</param>
/// <param name="LargestDeviation">The plain strategy of the largest deviation names a right part first.</param>
/// <param name="Dictionary">The plain strategy of the fault dictionary names the right parts first.</param>
internal sealed record Score(
    int Faults,
    bool First,
    bool FirstThree,
    bool Strict,
    int Equivalents,
    double Probability,
    double Seconds,
    string? Miss,
    bool LargestDeviation,
    bool Dictionary
)
{
    /// <summary>The readings, as a readings file.</summary>
    [JsonIgnore]
    public string Readings { get; init; } = "";
}
