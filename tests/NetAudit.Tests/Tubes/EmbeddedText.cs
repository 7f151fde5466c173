using NetAudit.Circuits.Tubes;

namespace NetAudit.Tests.Tubes;

/// <summary>The library that ships inside the assembly.</summary>
internal static class EmbeddedText
{
    public static string TubesLib { get; } = Read("Data/tubes.lib");

    private static string Read(string resource)
    {
        using var stream = typeof(TubeCatalogue).Assembly.GetManifestResourceStream(resource)!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
