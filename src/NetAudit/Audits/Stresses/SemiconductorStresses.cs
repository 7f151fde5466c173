using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Audits.Stresses;

/// <summary>Stresses of diodes and transistors: the sheet's limits, else those of the type.</summary>
internal static class SemiconductorStresses
{
    // A diode that breaks down below this is meant to: a Zener diode, whose reverse volts are its work (common practice, no source).
    private const double LeastRectifierVolts = 45;

    public static void AddDiode(
        ImmutableArray<StressPoint>.Builder points,
        Amplifier amplifier,
        Part part
    )
    {
        foreach (var i in part.Elements)
        {
            if (amplifier.Circuit.Elements[i] is not Diode diode)
            {
                continue;
            }
            if (IsZener(diode))
            {
                Add(StressKind.Power, part.Data?.Power, "watts_max");
                continue;
            }
            Add(StressKind.ReverseVolts, part.Data?.Voltage, "volts_max");
            Add(StressKind.ForwardCurrent, part.Data?.Current, "amps_max");
            Add(StressKind.PeakCurrent, null, "amps_max_peak");

            void Add(StressKind kind, double? own, string rating) =>
                points.Add(
                    new SemiconductorStress(Item(part, kind, own, diode.Model, rating), i, 0, 1)
                );
        }
    }

    public static void AddTransistor(
        ImmutableArray<StressPoint>.Builder points,
        Amplifier amplifier,
        Part part
    )
    {
        foreach (var i in part.Elements)
        {
            if (ModelOf(amplifier.Circuit.Elements[i]) is not { } model)
            {
                continue;
            }
            Add(StressKind.CollectorVolts, part.Data?.Voltage, "volts_max");
            Add(StressKind.CollectorCurrent, part.Data?.Current, "amps_max");
            Add(StressKind.Power, part.Data?.Power, "watts_max");
            Add(StressKind.SafeArea, part.Data?.Power, "watts_max");

            void Add(StressKind kind, double? own, string rating) =>
                points.Add(new SemiconductorStress(Item(part, kind, own, model, rating), i, 0, 2));
        }
    }

    /// <summary>True for a diode that works in breakdown.</summary>
    public static bool IsZener(Element element) =>
        element is Diode diode
        && Math.Abs(diode.Model.Get("bv", double.PositiveInfinity)) < LeastRectifierVolts;

    private static DeviceModel? ModelOf(Element element) =>
        element switch
        {
            BipolarTransistor transistor => transistor.Model,
            JunctionFet transistor => transistor.Model,
            MosFet transistor => transistor.Model,
            _ => null,
        };

    private static StressItem Item(
        Part part,
        StressKind kind,
        double? own,
        DeviceModel model,
        string rating
    )
    {
        if (own is not null)
        {
            return new(part.Name, kind, own, "sheet");
        }
        return SemiconductorRatings.Find(part.Data?.Type, model.Name, rating) is { } known
            ? new(part.Name, kind, known.Limit, $"{known.Type} data sheet")
            : new(part.Name, kind, null, "");
    }
}
