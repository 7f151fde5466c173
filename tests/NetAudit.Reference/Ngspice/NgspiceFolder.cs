namespace NetAudit.Reference.Ngspice;

/// <summary>A temporary folder with netlist files and the tube library side by side, for ngspice to read; deleted when done.</summary>
public sealed class NgspiceFolder : IDisposable
{
    private readonly string path = Directory.CreateTempSubdirectory("netaudit-").FullName;

    /// <param name="tubeLibrary">Text of <c>tubes.lib</c>, or null when the netlists need none.</param>
    public NgspiceFolder(string? tubeLibrary)
    {
        if (tubeLibrary is not null)
        {
            File.WriteAllText(Path.Combine(path, "tubes.lib"), tubeLibrary);
        }
    }

    /// <summary>Writes a file; returns its full path.</summary>
    public string Add(string name, string text)
    {
        var full = Path.Combine(path, name);
        File.WriteAllText(full, text);
        return full;
    }

    public void Dispose() => Directory.Delete(path, recursive: true);
}
