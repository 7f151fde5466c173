using System.Collections.Immutable;
using System.Globalization;
using System.Reflection;
using CsvHelper;

namespace NetAudit.Benchmarks.TubeFits;

/// <summary>A row of <c>curves.csv</c>; volts and amperes.</summary>
internal sealed record CurvePoint(
    string Type,
    string Role,
    double Plate,
    double Grid,
    double PlateAmps,
    double ReadingError,
    string Source
);

/// <summary>A row of <c>operating-points.csv</c>; SI units, null where the sheet is silent.</summary>
internal sealed record TubePoint(
    string Type,
    string Role,
    double Plate,
    double? Screen,
    double? Grid,
    double CathodeOhms,
    double ScreenFeedOhms,
    double PlateAmps,
    double? ScreenAmps,
    double? Transconductance,
    double? Mu,
    double? PlateOhms,
    double? LoadOhms,
    double? OutputWatts,
    string Note,
    string Source
);

/// <summary>A row of <c>resistance-coupled.csv</c> that prints a plate current; SI units.</summary>
internal sealed record CoupledStage(
    string Type,
    double Supply,
    double PlateOhms,
    double CathodeOhms,
    double PlateAmps,
    string Source
);

/// <summary>A row of <c>rectifiers.csv</c>; volts and amperes per plate.</summary>
internal sealed record RectifierPoint(string Type, double Drop, double PlateAmps, string Source);

/// <summary>A row of <c>capacitances.csv</c>, picofarads.</summary>
internal sealed record Capacitances(double GridPlate, double GridCathode, double PlateCathode);

/// <summary>Published facts that the tube laws are fitted to.</summary>
internal sealed record ReferenceData(
    ImmutableArray<CurvePoint> Curves,
    ImmutableArray<TubePoint> Points,
    ImmutableArray<CoupledStage> Stages,
    ImmutableArray<RectifierPoint> Rectifiers,
    ImmutableDictionary<string, Capacitances> Capacitances
)
{
    private const double Milli = 1e-3;

    private static readonly CsvReaderOptions Format = new() { Separator = ',' };

    public static ReferenceData Load() =>
        new(
            [
                .. Rows("curves.csv")
                    .Select(r => new CurvePoint(
                        r["type"],
                        r["role"],
                        Number(r["plate_volts"])!.Value,
                        Number(r["grid_volts"])!.Value,
                        Number(r["plate_milliamps"])!.Value * Milli,
                        Number(r["reading_error_milliamps"])!.Value * Milli,
                        r["source"]
                    )),
            ],
            [.. Rows("operating-points.csv").Select(Point)],
            [
                .. Rows("resistance-coupled.csv")
                    .Where(r => r["plate_milliamps"].Length > 0)
                    .Select(r => new CoupledStage(
                        // The Philips tables go by the European name of the same type.
                        r["type"] == "ECC83"
                            ? "12AX7"
                            : r["type"],
                        Number(r["supply_volts"])!.Value,
                        Number(r["plate_ohms"])!.Value,
                        Number(r["cathode_ohms"])!.Value,
                        Number(r["plate_milliamps"])!.Value * Milli,
                        r["source"]
                    )),
            ],
            [
                .. Rows("rectifiers.csv")
                    .Select(r => new RectifierPoint(
                        r["type"],
                        Number(r["drop_volts"])!.Value,
                        Number(r["plate_milliamps"])!.Value * Milli,
                        r["source"]
                    )),
            ],
            Rows("capacitances.csv")
                .ToImmutableDictionary(
                    r => r["type"],
                    r => new Capacitances(
                        Number(r["grid_plate_picofarads"])!.Value,
                        Number(r["grid_cathode_picofarads"])!.Value,
                        Number(r["plate_cathode_picofarads"])!.Value
                    )
                )
        );

    private static TubePoint Point(Dictionary<string, string> r) =>
        new(
            r["type"],
            r["role"],
            Number(r["plate_volts"])!.Value,
            Number(r["screen_volts"]),
            Number(r["grid_volts"]),
            Number(r["cathode_ohms"]) ?? 0,
            Number(r["screen_feed_ohms"]) ?? 0,
            Number(r["plate_milliamps"])!.Value * Milli,
            Number(r["screen_milliamps"]) * Milli,
            Number(r["gm_milliamps_per_volt"]) * Milli,
            Number(r["mu"]),
            Number(r["plate_ohms"]),
            Number(r["load_ohms"]),
            Number(r["output_watts"]),
            r["note"],
            r["source"]
        );

    private static double? Number(string text) =>
        text.Length == 0 ? null : double.Parse(text, CultureInfo.InvariantCulture);

    private static IEnumerable<Dictionary<string, string>> Rows(string file)
    {
        using var stream =
            Assembly.GetExecutingAssembly().GetManifestResourceStream("tubes/" + file)
            ?? throw new InvalidOperationException($"The data file {file} is not embedded.");
        using var reader = new StreamReader(stream);
        using var csv = CsvReader.FromText(reader.ReadToEnd(), Format);
        while (csv.Read())
        {
            var row = new Dictionary<string, string>();
            foreach (var header in csv.Headers)
            {
                row.Add(header, csv.GetString(header));
            }
            yield return row;
        }
    }
}
