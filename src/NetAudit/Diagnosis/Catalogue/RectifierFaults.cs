using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Expectations;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>Faults of transformer and rectifier, where the sheet says what a supply is made of.</summary>
internal static class RectifierFaults
{
    /// <summary>Current of a dead rectifier as a factor: none but a trace.</summary>
    private const double DeadCurrent = 1e-9;

    private const double LeastLowMains = 0.5;
    private const double MostLowMains = 0.95;
    private const double MostWindingOhms = 1e5;

    public static void Add(CatalogueBuilder builder, Part part, int element, RectifierSupply supply)
    {
        var last =
            supply.Circuit == RectifierCircuit.HalfWave
                ? ParameterKind.FirstRectifier
                : ParameterKind.SecondRectifier;
        // Which of the two it is shows nowhere: the second stands for either.
        AddFactor(FaultMode.RectifierDead, last, ValueRange.Fixed(DeadCurrent), null);
        if (supply.Circuit == RectifierCircuit.FullWave)
        {
            AddFactor(FaultMode.HalfWindingOpen, last, ValueRange.Fixed(DeadCurrent), null);
        }
        if (supply.Law is PlateRectifier)
        {
            AddFactor(FaultMode.RectifierWeak, ParameterKind.Strength, Worn, "×");
            if (supply.Circuit == RectifierCircuit.FullWave)
            {
                AddFactor(FaultMode.RectifierPlateWeak, last, Worn, "×");
            }
        }
        AddWinding();
        AddLowMains(builder, part, element);

        void AddFactor(FaultMode mode, ParameterKind kind, ValueRange range, string? unit)
        {
            var parameter = builder.Compiled.FindParameter(kind, element);
            builder.Add(
                new(part.Name, mode, Unit: unit),
                Rate.Of(part.Class, mode),
                range,
                new(parameter, -1, -1, -1, -1),
                new Alteration(AlterationKind.Parameter, parameter, 0, 1)
            );
        }

        void AddWinding()
        {
            var parameter = builder.Compiled.FindParameter(ParameterKind.Winding, element);
            builder.Add(
                new(part.Name, FaultMode.ResistiveJoint, Unit: "Ω"),
                Rate.Of(part.Class, FaultMode.ResistiveJoint),
                ValueRange.Log(supply.WindingOhms + 50, MostWindingOhms, 4),
                new(parameter, -1, -1, -1, 1),
                new Alteration(AlterationKind.Parameter, parameter, 0, 1)
            );
        }
    }

    // One supply alone is that supply's own fault already. Every supply brings the same fault, which merges into one.
    private static void AddLowMains(CatalogueBuilder builder, Part part, int element)
    {
        int[] following =
        [
            .. builder
                .Amplifier.Parts.Where(p => p.Class == PartClass.Supply)
                .SelectMany(p => p.Elements)
                .Where(e => MainsSources.Follows(builder.Amplifier, builder.Circuit.Elements[e])),
        ];
        if (following.Length < 2 || following[0] != element)
        {
            return;
        }
        Alteration[] all =
        [
            .. following.Select(e =>
            {
                var parameter = builder.Compiled.FindParameter(ParameterKind.Value, e);
                var nominal = builder.Compiled.Parameters[parameter].Nominal;
                return new Alteration(AlterationKind.Parameter, parameter, 0, nominal);
            }),
        ];
        builder.Add(
            new(part.Name, FaultMode.MainsLow, Unit: "×"),
            Rate.Of(part.Class, FaultMode.MainsLow),
            ValueRange.Log(LeastLowMains, MostLowMains, 3),
            new(all[0].A, -1, -1, -1, -Math.Sign(all[0].Coefficient)),
            all
        );
    }

    private static ValueRange Worn { get; } = ValueRange.Log(0.05, 0.8, 3);
}
