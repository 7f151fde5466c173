using System.Globalization;
using NetAudit.Benchmarks.Figures;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>The figures of judged units, as docs/figures.md shows them.</summary>
internal static class AccuracySection
{
    private static readonly string[] Names = ["healthy", "one fault", "two faults", "three faults"];

    /// <summary>The whole section.</summary>
    /// <param name="evidence">The kind of evidence of all rows.</param>
    /// <param name="rows">The units.</param>
    public static string Of(string evidence, IReadOnlyCollection<ScoreRow> rows)
    {
        var circuits = rows.GroupBy(r => r.Circuit).OrderBy(c => c.Key, StringComparer.Ordinal);
        return $"""
            ## Accuracy (`accuracy --evidence {evidence}`)

            Units made from a seed and simulated by ngspice: parts within tolerance, tubes with their spread, wall voltage, meter gain error
            and counts, the meter's load at each point. Every fault moves some reading by three standard deviations: of a nominal unit, alone and
            beside the others, and of the unit itself. {Read(
                evidence
            )} A suspect is right when its set of parts, or that of one of its equivalents, is the set of parts at
            fault; strictly right when pin and mode are right too. For healthy units "right" means that no fault is claimed. Circuit by circuit
            (`--circuits NAME --seed N`), added up in a file (`--scores FILE`). {Machine.Description}

            | circuit | units | seeds | count | right first | in first three | strict | equivalents | largest deviation | fault dictionary | mean s |
            | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
            {Lines(circuits.SelectMany(c => Rows(c.Key, c)).Concat(Rows("**all**", rows)))}

            Brier score of the first suspect over the faulty units, the highest probability given to a suspect of a healthy unit, and the draws that were
            dropped because ngspice found no operating point:

            | circuit | Brier score | healthy, at most | dropped |
            | --- | --- | --- | --- |
            {Lines(circuits.Select(c => Sureness(c.Key, [.. c])).Append(Sureness("**all**", rows)))}

            ### Every miss

            {Lines(
                rows.Where(r => r.Score.Miss is not null).Select(r => $"* {r.Circuit}, seed {r.Seed}: {r.Score.Miss}")
            )}
            """;
    }

    /// <summary>A line for each number of faults.</summary>
    public static IEnumerable<string> Rows(string circuit, IEnumerable<ScoreRow> rows) =>
        rows.GroupBy(r => r.Score.Faults)
            .OrderBy(units => units.Key)
            .Select(units => Row(circuit, units.Key, [.. units]));

    private static string Row(string circuit, int faults, ScoreRow[] units)
    {
        string Share(Func<Score, bool> good) =>
            Machine.Number(100.0 * units.Count(u => good(u.Score)) / units.Length, "0.0") + " %";
        string Faulty(string cell) => faults > 0 ? cell : "";
        string[] cells =
        [
            circuit,
            Names[faults],
            string.Join(' ', units.Select(u => u.Seed).Distinct().Order()),
            units.Length.ToString(CultureInfo.InvariantCulture),
            Share(s => s.First),
            Faulty(Share(s => s.FirstThree)),
            Faulty(Share(s => s.Strict)),
            Faulty(Machine.Number(units.Average(u => u.Score.Equivalents), "0.0")),
            Share(s => s.LargestDeviation),
            Share(s => s.Dictionary),
            Machine.Number(units.Average(u => u.Score.Seconds), "0.000"),
        ];
        return $"| {string.Join(" | ", cells)} |";
    }

    private static string Sureness(string circuit, IReadOnlyCollection<ScoreRow> rows)
    {
        var faulty = rows.Select(r => r.Score)
            .Where(s => s.Faults > 0)
            .Select(s => Math.Pow(s.Probability - (s.First ? 1 : 0), 2));
        var healthy = rows.Select(r => r.Score)
            .Where(s => s.Faults == 0)
            .Select(s => s.Probability);
        var brier = Machine.Number(faulty.DefaultIfEmpty(double.NaN).Average(), "0.0000");
        var dropped = rows.GroupBy(r => (r.Circuit, r.Seed)).Sum(run => run.Max(r => r.Dropped));
        return $"| {circuit} | {brier} | {Machine.Number(healthy.DefaultIfEmpty(double.NaN).Max(), "0.0000")} | {dropped} |";
    }

    private static string Lines(IEnumerable<string> lines) => string.Join('\n', lines);

    private static string Read(string evidence) =>
        evidence switch
        {
            "ac" => "All points are read, volts DC and level of the test signal.",
            "ohms" => "All points are read, volts DC and ohms with the mains off.",
            "all" =>
                "All points are read, volts DC, level of the test signal and ohms with the mains off; a few also in standby, at 85 V of mains, with a tube swapped, and levels with the signal fed in elsewhere.",
            _ => "All DC points are read.",
        };
}
