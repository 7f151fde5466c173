using System.Text.Json;
using System.Text.Json.Serialization;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>One judged unit as a scores file keeps it, so that runs add up.</summary>
/// <param name="Evidence">Kind of evidence: <c>dc</c>, <c>ac</c>, <c>ohms</c> or <c>all</c>.</param>
/// <param name="Circuit">The circuit.</param>
/// <param name="Seed">The seed its units were drawn with.</param>
/// <param name="Number">Number of the unit among those of the same seed and number of faults.</param>
/// <param name="Dropped">Draws of this run so far that ngspice found no operating point for.</param>
/// <param name="Score">How it was judged.</param>
internal sealed record ScoreRow(
    string Evidence,
    string Circuit,
    int Seed,
    int Number,
    int Dropped,
    Score Score
)
{
    private static readonly JsonSerializerOptions Format = new()
    {
        NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
    };

    /// <summary>Adds a line of JSON to a file; makes the file when there is none.</summary>
    public void AppendTo(string path) =>
        File.AppendAllText(path, JsonSerializer.Serialize(this, Format) + "\n");

    /// <summary>All rows of a file; a unit that was judged again counts as it was judged last.</summary>
    public static ScoreRow[] ReadAll(string path) =>
        [
            .. File.ReadLines(path)
                .Select(line => JsonSerializer.Deserialize<ScoreRow>(line, Format)!)
                .GroupBy(r => (r.Evidence, r.Circuit, r.Seed, r.Score.Faults, r.Number))
                .Select(unit => unit.Last()),
        ];
}
