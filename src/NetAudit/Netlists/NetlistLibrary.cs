using System.Collections.Concurrent;
using System.Text;
using NetAudit.Common;

namespace NetAudit.Netlists;

/// <summary>
/// Finds and parses the files a netlist includes: beside the including file, in the netlist's folder, in the library folder, built in.
/// Files outside the first and the last two folders are refused, so that a netlist from elsewhere reads nothing else. Parsed files are
/// kept by content. Thread-safe.
/// </summary>
/// <param name="folder">The netlist's folder, or null when it has none: then only the library folder and built-in files are found.</param>
/// <param name="libraryFolder">A further folder, or null.</param>
internal sealed class NetlistLibrary(string? folder, string? libraryFolder)
{
    private const int MostKept = 32;
    private static readonly ConcurrentDictionary<(string Name, string Text), NetlistFile> Kept =
        new();
    private static readonly ConcurrentDictionary<string, string?> BuiltIn = new(
        StringComparer.OrdinalIgnoreCase
    );

    /// <summary>Texts of files by the name that includes them; they are taken before anything on the disk.</summary>
    public IReadOnlyDictionary<string, string> Given { get; init; } =
        new Dictionary<string, string>();

    /// <summary>Texts of the files that were read from the disk, by the name that included them.</summary>
    public SortedDictionary<string, string> Opened { get; } = new(StringComparer.Ordinal);

    /// <summary>A file found: its parse and its place, or why not.</summary>
    public readonly record struct Found(
        NetlistFile? File,
        string Identity,
        string? Problem = null,
        string? Mend = null
    );

    /// <summary>Finds the file that an include names.</summary>
    /// <param name="name">The name as the card gives it.</param>
    /// <param name="includingFolder">Folder of the file that has the card, or null.</param>
    public Found Find(string name, string? includingFolder)
    {
        name = name.Replace('\\', '/');
        if (name.Length == 0 || name.Contains('\0', StringComparison.Ordinal))
        {
            return new Found(null, name, "an include needs a file name");
        }
        if (Given.TryGetValue(name, out var given))
        {
            return new Found(Parse(name, null, given), name);
        }
        var isOutside = false;
        foreach (
            var place in new[] { includingFolder, folder, libraryFolder }
                .OfType<string>()
                .Distinct()
        )
        {
            var path = Path.GetFullPath(Path.Combine(place, name));
            // The folder is checked first: whether a file exists elsewhere is no business of a netlist.
            if (!IsBelow(path, folder) && !IsBelow(path, libraryFolder))
            {
                isOutside = true;
            }
            else if (File.Exists(path))
            {
                return ReadFile(path, place, name);
            }
        }
        if (!isOutside && BuiltInText(Path.GetFileName(name)) is { } text)
        {
            var shown = $"built-in/{Path.GetFileName(name).ToLowerInvariant()}";
            return new Found(Parse(shown, null, text), shown);
        }
        return new Found(
            null,
            name,
            isOutside
                ? $"{name} lies outside the netlist's folder; includes are read only below it or below the --library folder"
                : $"there is no file {name}"
        );
    }

    /// <summary>Decodes a file: UTF-8, UTF-16 with its mark, otherwise Latin-1.</summary>
    public static string Decode(byte[] bytes)
    {
        if (bytes is [0xff, 0xfe, ..])
        {
            return Encoding.Unicode.GetString(bytes, 2, bytes.Length - 2);
        }
        if (bytes is [0xfe, 0xff, ..])
        {
            return Encoding.BigEndianUnicode.GetString(bytes, 2, bytes.Length - 2);
        }
        try
        {
            var start = bytes is [0xef, 0xbb, 0xbf, ..] ? 3 : 0;
            return new UTF8Encoding(false, true).GetString(bytes, start, bytes.Length - start);
        }
        catch (DecoderFallbackException)
        {
            return Encoding.Latin1.GetString(bytes);
        }
    }

    /// <summary>Text of a file, or why it cannot be read.</summary>
    public static (string? Text, string? Problem) TryRead(string path)
    {
        try
        {
            return (Decode(InputFile.ReadBytes(path)), null);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return (null, $"{path} cannot be read: {problem.Message}");
        }
    }

    private Found ReadFile(string path, string place, string name)
    {
        var (text, problem) = TryRead(path);
        if (text is null)
        {
            return new Found(null, path, problem);
        }
        Opened.TryAdd(name, text);
        return new Found(Parse(Path.Combine(place, name), Path.GetDirectoryName(path), text), path);
    }

    private static NetlistFile Parse(string name, string? folder, string text)
    {
        if (Kept.TryGetValue((name, text), out var kept))
        {
            return kept;
        }
        if (Kept.Count >= MostKept)
        {
            Kept.Clear();
        }
        return Kept[(name, text)] = NetlistFile.Parse(name, folder, text, hasTitle: false);
    }

    private static bool IsBelow(string path, string? root)
    {
        if (root is null)
        {
            return false;
        }
        try
        {
            var relative = Path.GetRelativePath(RealPath(root), RealPath(path));
            return !Path.IsPathRooted(relative)
                && relative != ".."
                && !relative.StartsWith(
                    ".." + Path.DirectorySeparatorChar,
                    StringComparison.Ordinal
                );
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            // Links in a circle, or a folder that may not be looked into.
            return false;
        }
    }

    /// <summary>The path with every link in it followed, so that a link does not lead out of a folder.</summary>
    private static string RealPath(string path)
    {
        var full = Path.GetFullPath(path);
        var real = Path.GetPathRoot(full) ?? "";
        foreach (
            var name in full[real.Length..]
                .Split(Path.DirectorySeparatorChar, StringSplitOptions.RemoveEmptyEntries)
        )
        {
            var next = Path.Combine(real, name);
            FileSystemInfo info = Directory.Exists(next)
                ? new DirectoryInfo(next)
                : new FileInfo(next);
            real = info.LinkTarget is null
                ? next
                : info.ResolveLinkTarget(returnFinalTarget: true)?.FullName ?? next;
        }
        return real;
    }

    private static string? BuiltInText(string name) =>
        name.EndsWith(".lib", StringComparison.OrdinalIgnoreCase)
            ? BuiltIn.GetOrAdd(
                name,
                static key =>
                {
                    using var stream = typeof(NetlistLibrary).Assembly.GetManifestResourceStream(
                        "Data/" + key.ToLowerInvariant()
                    );
                    if (stream is null)
                    {
                        return null;
                    }
                    using var reader = new StreamReader(stream, Encoding.UTF8);
                    return reader.ReadToEnd();
                }
            )
            : null;
}
