using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Benchmarks.NextReadings;

/// <summary>Ways to choose the next reading; each names one as it is typed, without its value, or null when it has no more.</summary>
internal static class Strategies
{
    /// <summary>The program's own proposal.</summary>
    public static string? Proposed(Amplifier amplifier, DiagnosisResult result) =>
        result.Next.IsEmpty ? null : Line(result.Next[0]);

    /// <summary>
    /// Halve the signal path by levels until the stage that loses the signal is found, then read its voltages in order.
    /// </summary>
    public static string? HalfSplit(Amplifier amplifier, DiagnosisResult result)
    {
        var outputs = amplifier.Stages.Where(s => !s.IsSupply && s.Output > 0).ToArray();
        int good = -1,
            bad = outputs.Length;
        for (var i = 0; i < outputs.Length; i++)
        {
            var state = result.Readings.FirstOrDefault(r =>
                r.Reading.Kind == ReadingKind.Ac && r.Reading.Node == outputs[i].Output
            );
            if (state is null)
            {
                continue;
            }
            if (Math.Abs(state.Deviation) < 3)
            {
                good = Math.Max(good, i);
            }
            else
            {
                bad = Math.Min(bad, i);
            }
        }
        if (amplifier.Sheet.Signal is not null && bad - good > 1 && good < bad)
        {
            var middle = (good + bad) / 2;
            var line = Unread(amplifier, result, ReadingKind.Ac, [outputs[middle].Output]);
            if (line is not null)
            {
                return line;
            }
        }
        var first = Math.Clamp(bad, 0, outputs.Length - 1);
        var order = outputs.Skip(first).Concat(amplifier.Stages).SelectMany(s => s.Nodes);
        return Unread(amplifier, result, ReadingKind.Dc, order);
    }

    /// <summary>Read on in the stage whose readings deviate most.</summary>
    public static string? LargestDeviation(Amplifier amplifier, DiagnosisResult result)
    {
        var order = result
            .Stages.OrderByDescending(s => s.Deviation)
            .Select(s => amplifier.Stages.First(stage => stage.Name == s.Name))
            .SelectMany(s => s.Nodes);
        return Unread(amplifier, result, ReadingKind.Dc, order);
    }

    private static string? Unread(
        Amplifier amplifier,
        DiagnosisResult result,
        ReadingKind kind,
        IEnumerable<int> nodes
    )
    {
        foreach (var node in nodes)
        {
            var isPoint = amplifier.Points.Any(p => p.Node == node);
            if (
                isPoint
                && !result.Readings.Any(r => r.Reading.Kind == kind && r.Reading.Node == node)
            )
            {
                return $"{amplifier.Circuit.Nodes[node].Name} {kind}";
            }
        }
        return null;
    }

    private static string Line(NextReading next) =>
        $"{next.At} {next.Kind}"
        + (next.Condition.Terms.IsEmpty ? "" : $" @ {next.Condition.Text}");
}
