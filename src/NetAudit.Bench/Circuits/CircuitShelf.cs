using System.Collections.Concurrent;
using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Jobs;

namespace NetAudit.Bench.Circuits;

/// <summary>A circuit that a job can be opened for.</summary>
/// <param name="Source">Its texts.</param>
/// <param name="Title">Title and revision.</param>
/// <param name="Model">Model.</param>
/// <param name="Variant">Variant.</param>
public sealed record ShelfEntry(CircuitSource Source, string Title, string Model, string Variant);

/// <summary>The circuits at hand: those the program was started with, then those of earlier jobs. Thread-safe.</summary>
public sealed class CircuitShelf
{
    private const int MostFiles = 500;

    private readonly JobStore _store;
    private readonly ConcurrentDictionary<string, Lazy<PreparedCircuit>> _prepared = new();

    /// <summary>Reads the circuits of a file or folder.</summary>
    public CircuitShelf(JobStore store, string? path)
    {
        _store = store;
        var given = ImmutableArray.CreateBuilder<ShelfEntry>();
        var problems = ImmutableArray.CreateBuilder<Diagnostic>();
        foreach (var file in Files(path))
        {
            var (source, diagnostics) = CircuitSource.Take(file);
            if (source is null)
            {
                problems.AddRange(diagnostics.Where(d => d.Severity == Severity.Error));
            }
            else if (Entry(source) is { } entry)
            {
                given.Add(entry);
            }
        }
        Given = given.ToImmutable();
        Problems = problems.ToImmutable();
    }

    /// <summary>The circuits the program was started with.</summary>
    public ImmutableArray<ShelfEntry> Given { get; }

    /// <summary>What is wrong with files that could not be used.</summary>
    public ImmutableArray<Diagnostic> Problems { get; }

    /// <summary>Every circuit at hand.</summary>
    public ImmutableArray<ShelfEntry> All() =>
        [
            .. Given
                .Concat(_store.Circuits().Select(Entry).OfType<ShelfEntry>())
                .DistinctBy(entry => entry.Source.Key),
        ];

    /// <summary>The circuit made ready to work with; made once.</summary>
    public PreparedCircuit Prepare(CircuitSource source)
    {
        ArgumentNullException.ThrowIfNull(source);
        return _prepared
            .GetOrAdd(source.Key, _ => new Lazy<PreparedCircuit>(() => new PreparedCircuit(source)))
            .Value;
    }

    /// <summary>What a circuit is called, or null when it cannot be read.</summary>
    public ShelfEntry? Entry(CircuitSource source) =>
        Prepare(source).Amplifier is { } amplifier
            ? new ShelfEntry(
                source,
                Titles.Of(amplifier),
                amplifier.Sheet.Title ?? amplifier.Circuit.Title,
                amplifier.Sheet.Revision ?? ""
            )
            : null;

    private static IEnumerable<string> Files(string? path) =>
        path is null ? []
        : Directory.Exists(path)
            ? Directory
                .EnumerateFiles(path, "*.cir")
                .Order(StringComparer.OrdinalIgnoreCase)
                .Take(MostFiles)
        : [path];
}
