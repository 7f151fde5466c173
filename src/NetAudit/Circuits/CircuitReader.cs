using NetAudit.Circuits.Elaboration;
using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits;

/// <summary>
/// The way in for netlists: text to flat circuit. Bad input never throws: it gives diagnostics, all of one reading at once. Thread-safe.
/// </summary>
public static class CircuitReader
{
    /// <summary>Reads a netlist file, or standard input when the path is <c>-</c>.</summary>
    /// <param name="netlistPath">The file. Includes are found beside it, below its folder, in the library folder, or built in.</param>
    /// <param name="libraryFolder">A further folder for includes, or null.</param>
    /// <param name="parameterOverrides">Values that replace those of <c>.param</c> cards at the top of the netlist, or null.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    public static CircuitReadResult ReadFile(
        string netlistPath,
        string? libraryFolder = null,
        IReadOnlyDictionary<string, double>? parameterOverrides = null,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(netlistPath);
        if (netlistPath == "-")
        {
            using var input = Console.OpenStandardInput();
            return ReadText(
                NetlistLibrary.Decode(InputFile.ReadBytes(input)),
                "-",
                Directory.GetCurrentDirectory(),
                libraryFolder,
                parameterOverrides,
                cancellationToken
            );
        }
        var (text, problem) = NetlistLibrary.TryRead(netlistPath);
        if (text is null)
        {
            return new CircuitReadResult(null, [new Diagnostic(Severity.Error, null, problem!)]);
        }
        return ReadText(
            text,
            netlistPath,
            Path.GetDirectoryName(Path.GetFullPath(netlistPath)),
            libraryFolder,
            parameterOverrides,
            cancellationToken
        );
    }

    /// <summary>Reads a netlist from text.</summary>
    /// <param name="text">The netlist; its first line is the title.</param>
    /// <param name="fileName">Name for diagnostics.</param>
    /// <param name="folder">Folder for includes, or null when only the library folder and built-in files may be included.</param>
    /// <param name="libraryFolder">A further folder for includes, or null.</param>
    /// <param name="parameterOverrides">Values that replace those of <c>.param</c> cards at the top of the netlist, or null.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    public static CircuitReadResult ReadText(
        string text,
        string fileName,
        string? folder = null,
        string? libraryFolder = null,
        IReadOnlyDictionary<string, double>? parameterOverrides = null,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(fileName);
        // A byte order mark that survived decoding is not part of the title.
        var file = NetlistFile.Parse(fileName, folder, text.TrimStart('\ufeff'), hasTitle: true);
        CircuitReadResult Elaborate(
            IReadOnlyDictionary<string, double>? overrides,
            CancellationToken token
        )
        {
            var library = new NetlistLibrary(folder, libraryFolder);
            var result = new Elaborator(library, token).Read(file, overrides);
            return result.Circuit is null
                ? result
                : result with
                {
                    Circuit = result.Circuit with
                    {
                        ReadAgain = more =>
                            Elaborate(Merge(overrides, more), CancellationToken.None),
                    },
                };
        }
        return Elaborate(parameterOverrides, cancellationToken);
    }

    private static Dictionary<string, double> Merge(
        IReadOnlyDictionary<string, double>? first,
        IReadOnlyDictionary<string, double> later
    )
    {
        var all = new Dictionary<string, double>(
            first ?? new Dictionary<string, double>(),
            StringComparer.OrdinalIgnoreCase
        );
        foreach (var (name, value) in later)
        {
            all[name] = value;
        }
        return all;
    }

    /// <summary>Reads a netlist whose includes are given as texts or built in: no file is opened.</summary>
    /// <param name="text">The netlist.</param>
    /// <param name="fileName">Name for diagnostics.</param>
    /// <param name="includes">Texts by the name that includes them.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    public static CircuitReadResult ReadClosed(
        string text,
        string fileName,
        IReadOnlyDictionary<string, string> includes,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(text);
        var file = NetlistFile.Parse(fileName, null, text.TrimStart('\ufeff'), hasTitle: true);
        var library = new NetlistLibrary(null, null) { Given = includes };
        return new Elaborator(library, cancellationToken).Read(file, null);
    }

    /// <summary>
    /// The texts of the files that a netlist file includes, by the name that includes them, built-in ones not among them: what
    /// <see cref="ReadClosed"/> needs to read it elsewhere.
    /// </summary>
    public static IReadOnlyDictionary<string, string> IncludesOf(
        string text,
        string netlistPath,
        string? libraryFolder = null
    )
    {
        ArgumentNullException.ThrowIfNull(text);
        var folder = Path.GetDirectoryName(Path.GetFullPath(netlistPath));
        var file = NetlistFile.Parse(netlistPath, folder, text.TrimStart('\ufeff'), true);
        var library = new NetlistLibrary(folder, libraryFolder);
        new Elaborator(library, CancellationToken.None).Read(file, null);
        return library.Opened;
    }
}
