namespace NetAudit.Fuzz.Loop;

/// <summary>The texts kept in the repository: a small corpus to start from, and what once broke something.</summary>
public static class Inputs
{
    /// <summary>Texts of a target below a folder, in the order of their names.</summary>
    /// <param name="folder"><c>tests/NetAudit.Fuzz/Inputs</c>.</param>
    /// <param name="target">The target.</param>
    public static string[] Of(string folder, string target)
    {
        var own = Path.Combine(folder, target);
        return Directory.Exists(own)
            ?
            [
                .. Directory
                    .GetFiles(own, "*", SearchOption.AllDirectories)
                    .Order(StringComparer.Ordinal)
                    .Select(File.ReadAllText),
            ]
            : [];
    }
}
