using NetAudit.Circuits;

namespace NetAudit.Benchmarks.Speed;

/// <summary>The built-in tube library, for ngspice to include.</summary>
internal static class TubeLibrary
{
    public static string Text { get; } = Read();

    private static string Read()
    {
        using var stream = typeof(Circuit).Assembly.GetManifestResourceStream("Data/tubes.lib")!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
