using System.Collections.Frozen;
using System.Collections.Immutable;
using System.Globalization;
using CsvHelper;

namespace NetAudit.Circuits.Tubes;

/// <summary>
/// The built-in base table: pins, heater, spread and ratings of the types in <c>tubes.lib</c>. Read once, at first use; thread-safe.
/// Every value has its source in the data files.
/// </summary>
public static class TubeCatalogue
{
    private static readonly Lazy<Table> Loaded = new(Load);

    // Stated, since the reader would otherwise guess the separator and the aliases hold semicolons.
    private static readonly CsvReaderOptions Format = new()
    {
        Separator = ',',
        FormatProvider = CultureInfo.InvariantCulture,
    };

    /// <summary>All types, in the order of the table.</summary>
    public static ImmutableArray<TubeType> All => Loaded.Value.Types;

    /// <summary>The type of that name or alias (case-insensitive), or null.</summary>
    /// <param name="name">For example <c>12AX7</c>, <c>ecc83</c>.</param>
    public static TubeType? Find(string name) => Loaded.Value.ByName.GetValueOrDefault(name);

    private sealed record Table(
        ImmutableArray<TubeType> Types,
        FrozenDictionary<string, TubeType> ByName
    );

    private static Table Load()
    {
        var pins = ReadPins().ToLookup(row => row.Type, row => row.Pin);
        var ratings = ReadRatings().ToLookup(row => row.Type);
        var types = ImmutableArray.CreateBuilder<TubeType>();
        using var csv = Open("tube-types.csv");
        while (csv.Read())
        {
            var name = csv.GetString("name");
            var kind = csv.GetString("kind");
            var itsPins = pins[name].ToImmutableArray();
            types.Add(
                new TubeType(
                    name,
                    [.. csv.GetString("aliases").Split(';', StringSplitOptions.RemoveEmptyEntries)],
                    kind,
                    itsPins,
                    Sections(kind, itsPins),
                    csv.Parse<double>("heater_volts"),
                    csv.Parse<double>("heater_amps"),
                    new TubeSpread(
                        csv.Parse<double>("emission_sigma"),
                        csv.Parse<double>("grid_sigma_volts"),
                        csv.GetString("spread_source")
                    ),
                    ratings[name].ToImmutableDictionary(row => row.Rating, row => row.Value)
                )
            );
        }
        return new Table(
            types.ToImmutable(),
            types
                .SelectMany(type => type.Aliases.Prepend(type.Name).Select(name => (name, type)))
                .ToFrozenDictionary(
                    pair => pair.name,
                    pair => pair.type,
                    StringComparer.OrdinalIgnoreCase
                )
        );
    }

    private static ImmutableArray<string> Sections(string kind, ImmutableArray<TubePin> pins) =>
        kind == "rectifier"
            ? [""]
            :
            [
                .. pins.Where(pin => pin.Electrode == Electrode.Plate)
                    .Select(pin => pin.Section)
                    .Order(StringComparer.Ordinal),
            ];

    private static IEnumerable<(string Type, TubePin Pin)> ReadPins()
    {
        using var csv = Open("tube-pins.csv");
        while (csv.Read())
        {
            yield return (
                csv.GetString("type"),
                new TubePin(
                    csv.GetString("pin"),
                    Enum.Parse<Electrode>(csv.GetString("electrode")),
                    csv.GetString("section")
                )
            );
        }
    }

    private static IEnumerable<(string Type, string Rating, double Value)> ReadRatings()
    {
        using var csv = Open("tube-ratings.csv");
        while (csv.Read())
        {
            yield return (
                csv.GetString("type"),
                csv.GetString("rating"),
                csv.Parse<double>("value")
            );
        }
    }

    private static CsvReader Open(string file)
    {
        using var stream =
            typeof(TubeCatalogue).Assembly.GetManifestResourceStream("Data/" + file)
            ?? throw new InvalidOperationException($"The data file {file} is not embedded.");
        using var reader = new StreamReader(stream);
        return CsvReader.FromText(reader.ReadToEnd(), Format);
    }
}
