using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>Stresses of the rectifiers that a <c>[[supply]]</c> of the sheet puts in the place of a source.</summary>
internal static class SupplyStresses
{
    public static void Add(
        ImmutableArray<StressPoint>.Builder points,
        Amplifier amplifier,
        Part part
    )
    {
        foreach (var i in part.Elements)
        {
            if (amplifier.Circuit.Elements[i] is not VoltageSource { Supply: { } supply } source)
            {
                continue;
            }
            var type = amplifier
                .Sheet.Supplies.First(data =>
                    data.Source.Equals(source.Name, StringComparison.OrdinalIgnoreCase)
                )
                .Rectifier;
            Add(StressKind.ReverseVolts, part.Data?.Voltage, "peak_inverse_volts_max", "volts_max");
            Add(StressKind.ForwardCurrent, part.Data?.Current, "output_amps_max", "amps_max");
            Add(StressKind.PeakCurrent, null, "plate_amps_max_peak", "amps_max_peak");

            void Add(StressKind kind, double? own, string tubeRating, string diodeRating)
            {
                var (limit, from) =
                    own is not null ? (own, "sheet")
                    : type is null ? OfDiode(part.Data?.Type, diodeRating)
                    : OfTube(type, tubeRating);
                points.Add(
                    new RectifierStress(
                        new(part.Name, kind, limit, from),
                        i,
                        supply,
                        type is not null
                    )
                );
            }
        }
    }

    private static (double? Limit, string Source) OfTube(string type, string rating) =>
        TubeCatalogue.Find(type) is { } tube && tube.Ratings.TryGetValue(rating, out var limit)
            ? (limit, $"{tube.Name} data sheet")
            : (null, "");

    private static (double? Limit, string Source) OfDiode(string? type, string rating) =>
        type is not null && SemiconductorRatings.Find(type, type, rating) is { } known
            ? (known.Limit, $"{known.Type} data sheet")
            : (null, "");
}

/// <summary>Volts and amperes of a supply's rectifiers.</summary>
/// <param name="Item">What is stressed.</param>
/// <param name="Element">The source in whose place they are.</param>
/// <param name="Supply">What the supply is made of.</param>
/// <param name="IsTube">True when the direct current's limit is that of both plates together.</param>
internal sealed record RectifierStress(
    StressItem Item,
    int Element,
    RectifierSupply Supply,
    bool IsTube
) : StressPoint(Item)
{
    public override double Read(Workspace workspace)
    {
        if (workspace.RectifierOf(Element) is not { IsOn: true } rectifier)
        {
            return 0;
        }
        // The reservoir may be full to the peak while a rectifier blocks the winding's other peak; in a bridge two share that.
        var reverse = Math.Sqrt(2) * (Supply.Circuit == RectifierCircuit.Bridge ? 1 : 2);
        var isAlone = IsTube || Supply.Circuit == RectifierCircuit.HalfWave;
        return Item.Kind switch
        {
            StressKind.ReverseVolts => reverse * workspace.ValueNow(Element),
            StressKind.PeakCurrent => rectifier.Waveforms.PeakAmps,
            _ => rectifier.Amps / (isAlone ? 1 : 2),
        };
    }
}
