using System.Globalization;
using NetAudit.Diagnosis;
using NetAudit.Reference.Units;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>Says in words why a unit was not judged rightly.</summary>
internal static class MissReason
{
    public static string Of(
        DiagnosisResult result,
        Unit unit,
        TruthMatch match,
        UnitGenerator generator
    )
    {
        var truth = string.Join(" + ", unit.Faults);
        if (result.Suspects is not [var first, ..])
        {
            return $"{truth}: no suspect, {Words(result)}";
        }
        var named = string.Join(" + ", first.Faults.Select(Describe));
        var rank = result
            .Suspects.Select((s, i) => (s, i))
            .FirstOrDefault(p => match.ByPart(p.s, unit), (null!, -1))
            .i;
        var place =
            rank < 0
                ? "the truth is not listed"
                : string.Create(
                    CultureInfo.InvariantCulture,
                    $"the truth is number {rank + 1} with {result.Suspects[rank].Probability:0.###}"
                );
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{truth}: named {named} ({first.Probability:0.###}, {Words(result)}); {place}{Hidden(first, unit, match, generator)}"
        );
    }

    /// <summary>A false alarm of a healthy unit.</summary>
    public static string Of(DiagnosisResult result) =>
        result.Suspects is [var first, ..]
            ? string.Create(
                CultureInfo.InvariantCulture,
                $"healthy unit: named {string.Join(" + ", first.Faults.Select(Describe))} ({first.Probability:0.###}), healthy {result.Healthy:0.####}"
            )
            : $"healthy unit: {Words(result)}";

    private static string Hidden(
        Suspect first,
        Unit unit,
        TruthMatch match,
        UnitGenerator generator
    )
    {
        var named = first.Faults.Select(f => match.PartOf(f.Part)).ToHashSet();
        var missing = unit.Faults.Where(f => !named.Contains(match.PartOf(f.Part))).ToArray();
        return string.Concat(
            missing.Select(f =>
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"; {f.Part} {f.Mode} moves the DC readings of this unit by at most {generator.Influence(unit, f):0.#} sigma"
                )
            )
        );
    }

    private static string Words(DiagnosisResult result) => $"verdict {result.Verdict}";

    private static string Describe(Fault fault)
    {
        var pin = fault.Pin is null ? "" : $" pin {fault.Pin}";
        var nodes = fault.Nodes is { } n ? $" {n.First}-{n.Second}" : "";
        var value = fault.Value is { } v
            ? string.Create(CultureInfo.InvariantCulture, $" ({v:G3})")
            : "";
        return $"{fault.Part}{pin}{nodes} {fault.Mode.Name()}{value}";
    }
}
