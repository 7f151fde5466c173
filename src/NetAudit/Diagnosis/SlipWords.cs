using NetAudit.Common;

namespace NetAudit.Diagnosis;

/// <summary>Readings that look like slips, with what they look like.</summary>
public static class SlipWords
{
    /// <summary>One sentence for each questionable reading.</summary>
    public static IEnumerable<string> Sentences(DiagnosisResult result)
    {
        for (var i = 0; i < result.Readings.Length; i++)
        {
            if (result.Readings[i].Questionable)
            {
                var reading = result.Readings[i].Reading;
                var looks =
                    ReadingSlips.Describe(result, i)
                    ?? "fits neither the others nor any fault weighed";
                yield return $"{reading.At}, read {MeterText.Volts(reading.Value)} V, {looks}.";
            }
        }
    }
}
