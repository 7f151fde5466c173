using NetAudit.Circuits;

namespace NetAudit.Tests.Reference;

/// <summary>Netlists that the comparisons read, and the built-in tube library for ngspice to include.</summary>
internal static class RepositoryFiles
{
    /// <summary>The folder of the sample circuits.</summary>
    public static string Samples { get; } = Repository.File("sample-circuits");

    /// <summary>The folder of the decks beside these tests.</summary>
    public static string Decks { get; } = Repository.File("tests/NetAudit.Tests/Reference/Decks");

    /// <summary>Text of the built-in tube library.</summary>
    public static string TubeLibrary { get; } = ReadTubeLibrary();

    private static string ReadTubeLibrary()
    {
        using var stream = typeof(Circuit).Assembly.GetManifestResourceStream("Data/tubes.lib")!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
