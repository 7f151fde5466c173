using System.Collections.Immutable;

namespace NetAudit.Circuits.Sheets;

/// <summary>Tolerances by key (<c>resistor</c>, <c>tube_emission</c>, ...), from the data file or a sheet. Immutable.</summary>
public sealed class ToleranceTable
{
    private readonly ImmutableSortedDictionary<string, Tolerance> tolerances;

    internal ToleranceTable(ImmutableSortedDictionary<string, Tolerance> tolerances) =>
        this.tolerances = tolerances;

    /// <summary>The built-in table, <c>Data/tolerances.csv</c>.</summary>
    public static ToleranceTable Default { get; } = ToleranceFile.Load();

    /// <summary>Every key, sorted.</summary>
    public IEnumerable<string> Keys => tolerances.Keys;

    /// <summary>The tolerance of that key, or null when there is no such key.</summary>
    public Tolerance? Find(string key) => tolerances.TryGetValue(key, out var found) ? found : null;

    /// <summary>The tolerance of a key that the built-in table holds.</summary>
    /// <exception cref="KeyNotFoundException">The key is not in the table (a programmer's error).</exception>
    public Tolerance this[string key] => tolerances[key];

    internal ToleranceTable With(string key, Tolerance tolerance) =>
        new(tolerances.SetItem(key, tolerance));
}
