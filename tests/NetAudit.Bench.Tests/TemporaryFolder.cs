namespace NetAudit.Bench.Tests;

/// <summary>A folder that is gone after the test.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    private readonly string _path = Directory.CreateTempSubdirectory("netaudit-bench-").FullName;

    /// <summary>A path in it.</summary>
    public string File(string name) => Path.Combine(_path, name);

    public void Dispose() => Directory.Delete(_path, recursive: true);
}
