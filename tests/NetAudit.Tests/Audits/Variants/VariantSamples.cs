using NetAudit.Circuits;

namespace NetAudit.Tests.Audits.Variants;

/// <summary>Sample circuits and changes of them.</summary>
internal static class VariantSamples
{
    /// <summary>A sample with its sheet.</summary>
    public static Amplifier Read(string sample) =>
        AmplifierReader.Read(Repository.File($"sample-circuits/{sample}.cir")).Amplifier!;

    /// <summary>Text of a sample's netlist.</summary>
    public static string Text(string sample) =>
        File.ReadAllText(Repository.File($"sample-circuits/{sample}.cir"));

    /// <summary>A netlist without a sheet.</summary>
    public static Amplifier FromText(string text) =>
        AmplifierReader
            .ReadText(
                CircuitReader.ReadText(text, "test", Repository.File("sample-circuits")),
                null
            )
            .Amplifier!;
}
