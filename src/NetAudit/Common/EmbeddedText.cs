using System.Text;

namespace NetAudit.Common;

/// <summary>Reads a text that is built into the library.</summary>
internal static class EmbeddedText
{
    /// <summary>The text, with line feeds only.</summary>
    /// <exception cref="InvalidOperationException">The library has no such file.</exception>
    public static string Read(string name)
    {
        using var stream =
            typeof(EmbeddedText).Assembly.GetManifestResourceStream("Data/" + name)
            ?? throw new InvalidOperationException($"The library holds no data file {name}.");
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return reader.ReadToEnd().ReplaceLineEndings("\n");
    }
}
