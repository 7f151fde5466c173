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
        Dictionary<string, TubeType> ByName
    );

    // Plain loops and collections: this runs at the start of every command, where the compiling of generic queries would cost more than
    // all the reading.
    private static Table Load()
    {
        var pins = ReadPins();
        var ratings = ReadRatings();
        var types = ImmutableArray.CreateBuilder<TubeType>();
        var byName = new Dictionary<string, TubeType>(StringComparer.OrdinalIgnoreCase);
        using var csv = Open("tube-types.csv");
        while (csv.Read())
        {
            var name = csv.GetString("name");
            var kind = csv.GetString("kind");
            var aliases = csv.GetString("aliases");
            var type = new TubeType(
                name,
                aliases.Length == 0 ? [] : ImmutableArray.Create(aliases.Split(';')),
                kind,
                pins[name].ToImmutable(),
                kind == "triode" ? ["A", "B"] : [""],
                csv.Parse<double>("heater_volts"),
                csv.Parse<double>("heater_amps"),
                new TubeSpread(
                    csv.Parse<double>("emission_sigma"),
                    csv.Parse<double>("grid_sigma_volts"),
                    csv.GetString("spread_source")
                ),
                ratings[name].ToImmutable()
            );
            types.Add(type);
            byName.Add(name, type);
            foreach (var alias in type.Aliases)
            {
                byName.Add(alias, type);
            }
        }
        return new Table(types.ToImmutable(), byName);
    }

    private static Dictionary<string, ImmutableArray<TubePin>.Builder> ReadPins()
    {
        var pins = new Dictionary<string, ImmutableArray<TubePin>.Builder>();
        using var csv = Open("tube-pins.csv");
        while (csv.Read())
        {
            var type = csv.GetString("type");
            if (!pins.TryGetValue(type, out var itsPins))
            {
                itsPins = ImmutableArray.CreateBuilder<TubePin>();
                pins.Add(type, itsPins);
            }
            itsPins.Add(
                new TubePin(
                    csv.GetString("pin"),
                    Enum.Parse<Electrode>(csv.GetString("electrode")),
                    csv.GetString("section")
                )
            );
        }
        return pins;
    }

    private static Dictionary<string, ImmutableDictionary<string, double>.Builder> ReadRatings()
    {
        var ratings = new Dictionary<string, ImmutableDictionary<string, double>.Builder>();
        using var csv = Open("tube-ratings.csv");
        while (csv.Read())
        {
            var type = csv.GetString("type");
            if (!ratings.TryGetValue(type, out var itsRatings))
            {
                itsRatings = ImmutableDictionary.CreateBuilder<string, double>();
                ratings.Add(type, itsRatings);
            }
            itsRatings.Add(csv.GetString("rating"), csv.Parse<double>("value"));
        }
        return ratings;
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
