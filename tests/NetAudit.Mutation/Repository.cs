namespace NetAudit.Mutation;

/// <summary>Where things are.</summary>
internal static class Repository
{
    private static readonly string Root = Find();

    /// <summary>A path given from the repository's root.</summary>
    public static string At(params string[] parts) => Path.Combine([Root, .. parts]);

    /// <summary>A path told from the repository's root.</summary>
    public static string Relative(string path) => Path.GetRelativePath(Root, path);

    /// <summary>Copies a folder but what a build leaves.</summary>
    public static void Copy(string from, string to, params string[] without)
    {
        Directory.CreateDirectory(to);
        foreach (var file in Directory.EnumerateFiles(from))
        {
            File.Copy(file, Path.Combine(to, Path.GetFileName(file)), overwrite: true);
        }
        foreach (var folder in Directory.EnumerateDirectories(from))
        {
            if (!without.Contains(Path.GetFileName(folder)))
            {
                Copy(folder, Path.Combine(to, Path.GetFileName(folder)), without);
            }
        }
    }

    private static string Find()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "NetAudit.sln")))
        {
            folder =
                folder.Parent
                ?? throw new InvalidOperationException("NetAudit.sln is not above the program.");
        }
        return folder.FullName;
    }
}
