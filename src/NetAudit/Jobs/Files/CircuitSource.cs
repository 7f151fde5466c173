using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Jobs;

/// <summary>
/// A circuit as texts: netlist, sheet and the files it includes. Reading it opens no file, so that a job from elsewhere cannot look at
/// this machine. Immutable.
/// </summary>
/// <param name="Name">File name of the netlist, without a folder.</param>
/// <param name="Netlist">The netlist.</param>
/// <param name="Sheet">The sheet, or null.</param>
/// <param name="Includes">Texts of included files by the name that includes them; built-in ones are not among them.</param>
public sealed record CircuitSource(
    string Name,
    string Netlist,
    string? Sheet,
    ImmutableSortedDictionary<string, string> Includes
)
{
    /// <summary>Longest netlist, sheet or included file, in characters.</summary>
    public const int LongestText = 2_000_000;

    /// <summary>Most included files.</summary>
    public const int MostIncludes = 50;

    /// <summary>Same texts, same key: what two jobs of one circuit share. 64 hexadecimal digits.</summary>
    public string Key { get; } = KeyOf(Name, Netlist, Sheet, Includes);

    /// <summary>Takes a circuit from files as it is now.</summary>
    /// <param name="netlistPath">The netlist.</param>
    /// <param name="sheetPath">The sheet; null takes the one beside the netlist when there is one.</param>
    /// <param name="libraryFolder">A further folder for includes, or null.</param>
    /// <returns>The circuit, and what is wrong with it; null when it cannot be used.</returns>
    public static (CircuitSource? Source, ImmutableArray<Diagnostic> Diagnostics) Take(
        string netlistPath,
        string? sheetPath = null,
        string? libraryFolder = null
    )
    {
        var read = AmplifierReader.Read(netlistPath, sheetPath, libraryFolder);
        if (read.Amplifier is null)
        {
            return (null, read.Diagnostics);
        }
        var beside = Path.ChangeExtension(netlistPath, null) + ".sheet.toml";
        sheetPath ??= File.Exists(beside) ? beside : null;
        try
        {
            var text = InputFile.ReadText(netlistPath);
            var includes = CircuitReader.IncludesOf(text, netlistPath, libraryFolder);
            var source = new CircuitSource(
                Path.GetFileName(netlistPath),
                text,
                sheetPath is null ? null : InputFile.ReadText(sheetPath),
                includes.ToImmutableSortedDictionary(StringComparer.Ordinal)
            );
            var closed = source.Read();
            return (closed.Amplifier is null ? null : source, closed.Diagnostics);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            var message = $"{netlistPath} cannot be read: {problem.Message}";
            return (null, [new Diagnostic(Severity.Error, null, message)]);
        }
    }

    /// <summary>Reads the circuit. No file is opened.</summary>
    public AmplifierReadResult Read(CancellationToken cancellationToken = default) =>
        AmplifierReader.ReadText(
            CircuitReader.ReadClosed(Netlist, Name, Includes, cancellationToken),
            Sheet,
            Path.ChangeExtension(Name, ".sheet.toml")
        );

    /// <inheritdoc/>
    public bool Equals(CircuitSource? other) => other is not null && Key == other.Key;

    /// <inheritdoc/>
    public override int GetHashCode() => Key.GetHashCode(StringComparison.Ordinal);

    private static string KeyOf(
        string name,
        string netlist,
        string? sheet,
        ImmutableSortedDictionary<string, string> includes
    )
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        // Lengths between the texts, so that no two circuits are the same run of bytes.
        foreach (
            var text in includes
                .SelectMany(pair => new[] { pair.Key, pair.Value })
                .Prepend(sheet ?? "\0")
                .Prepend(netlist)
                .Prepend(name)
        )
        {
            var bytes = Encoding.UTF8.GetBytes(text);
            hash.AppendData(BitConverter.GetBytes(bytes.Length));
            hash.AppendData(bytes);
        }
        return Convert.ToHexStringLower(hash.GetHashAndReset());
    }
}
