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
                var looks =
                    ReadingSlips.Describe(result, i)
                    ?? "fits neither the others nor any fault weighed";
                yield return $"{result.Readings[i].Place()}, read {result.Readings[i].Measured()}, {looks}.";
            }
        }
    }
}
