using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>A supply or bias source that gives too little, too much or nothing.</summary>
internal static class SupplyFaults
{
    public static void Add(CatalogueBuilder builder, Part part)
    {
        foreach (var index in part.Elements)
        {
            var parameter = builder.Compiled.FindParameter(ParameterKind.Value, index);
            if (parameter < 0 || builder.Compiled.Parameters[parameter].Nominal == 0)
            {
                continue;
            }
            var nominal = builder.Compiled.Parameters[parameter].Nominal;
            var effect = new Alteration(AlterationKind.Parameter, parameter, 0, nominal);
            var direction = new Direction(parameter, -1, -1, -1, Math.Sign(nominal));
            builder.Add(
                new(part.Name, FaultMode.SupplyLow, Unit: "×"),
                Rate.Of(part.Class, FaultMode.SupplyLow),
                ValueRange.Log(0.25, 0.95, 4),
                direction with
                {
                    Sign = -direction.Sign,
                },
                effect
            );
            builder.Add(
                new(part.Name, FaultMode.SupplyLow),
                Rate.Of(part.Class, FaultMode.Open),
                ValueRange.Fixed(1e-6),
                direction with
                {
                    Sign = -direction.Sign,
                },
                effect
            );
            builder.Add(
                new(part.Name, FaultMode.SupplyHigh, Unit: "×"),
                Rate.Of(part.Class, FaultMode.SupplyHigh),
                ValueRange.Log(1.05, 1.8, 2),
                direction,
                effect
            );
            if (builder.Circuit.Elements[index] is VoltageSource { Supply: { } supply })
            {
                RectifierFaults.Add(builder, part, index, supply);
            }
        }
    }
}
