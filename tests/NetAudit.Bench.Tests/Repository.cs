namespace NetAudit.Bench.Tests;

/// <summary>Files of the repository that are not part of any assembly.</summary>
internal static class Repository
{
    private static readonly Lazy<string> Root = new(Find);

    /// <summary>Full path of a file or folder given from the repository's root.</summary>
    public static string File(string relative) =>
        Path.GetFullPath(Path.Combine(Root.Value, relative));

    private static string Find()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!System.IO.File.Exists(Path.Combine(folder.FullName, "NetAudit.sln")))
        {
            folder =
                folder.Parent
                ?? throw new InvalidOperationException("NetAudit.sln is not above the tests.");
        }
        return folder.FullName;
    }
}
