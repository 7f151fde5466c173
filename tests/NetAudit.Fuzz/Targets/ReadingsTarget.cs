using NetAudit.Expectations;

namespace NetAudit.Fuzz.Targets;

/// <summary>Readings of the unit: as a file, and its first line as typed at the prompt and as a condition.</summary>
internal static class ReadingsTarget
{
    private const string File = "fuzz.csv";

    public static void Check(string text)
    {
        Contract.Places(
            ReadingsFile.ReadText(text, File, Unit.Amplifier).Diagnostics,
            File,
            text.TrimStart('\ufeff')
        );
        var line = text.ReplaceLineEndings("\n").Split('\n')[0];
        Contract.Places(TypedReading.Read(line, Unit.Amplifier).Diagnostics, "-", line);
        ConditionText.Read(line, Unit.Amplifier);
    }
}
