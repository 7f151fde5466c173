using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>Every single fault of an amplifier that a reading may see, merged into classes that are electrically equal.</summary>
internal sealed record FaultCatalogue(ImmutableArray<FaultClass> Classes)
{
    /// <summary>Makes the catalogue of an amplifier.</summary>
    public static FaultCatalogue Of(Amplifier amplifier, CompiledCircuit compiled)
    {
        var builder = new CatalogueBuilder(amplifier, compiled);
        foreach (var part in amplifier.Parts)
        {
            switch (part.Class)
            {
                case PartClass.Tube:
                    TubeFaults.Add(builder, part);
                    break;
                case PartClass.Diode
                or PartClass.BipolarTransistor
                or PartClass.JunctionFet
                or PartClass.MosFet:
                    SemiconductorFaults.Add(builder, part);
                    break;
                case PartClass.Supply:
                    SupplyFaults.Add(builder, part);
                    break;
                case PartClass.Fixture or PartClass.Other:
                    break;
                default:
                    PassiveFaults.Add(builder, part);
                    break;
            }
        }
        return new(builder.Build());
    }
}
