using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>
/// What differs between healthy supplies beside the wall voltage: the winding's ohms and the rectifier. A transformer's ratio is held well
/// within the wall voltage's spread and counts with it (common practice, no source).
/// </summary>
internal static class SupplySpreads
{
    public static IEnumerable<SpreadTerm> Of(Amplifier amplifier, CompiledCircuit compiled)
    {
        var table = amplifier.Sheet.Tolerances;
        foreach (var data in amplifier.Sheet.Supplies)
        {
            var element = amplifier.Circuit.FindElement(data.Source);
            if (
                element < 0
                || amplifier.Circuit.Elements[element]
                    is not VoltageSource { Supply: { } supply } source
            )
            {
                continue;
            }
            yield return new(
                source.Name + " winding",
                table["winding"].Sigma,
                true,
                supply.WindingOhms > 0 ? Parameter(ParameterKind.Winding) : []
            );
            yield return new(
                source.Name + " rectifier",
                RectifierSigma(table, data, supply.Law),
                true,
                Parameter(ParameterKind.Strength)
            );

            ImmutableArray<int> Parameter(ParameterKind kind) =>
                [compiled.FindParameter(kind, element)];
        }
    }

    // Emission of a tube; a diode's forward volts as a factor on its saturation current.
    private static double RectifierSigma(ToleranceTable table, SupplyData data, RectifierLaw law) =>
        law is JunctionRectifier junction ? table["diode_forward"].Sigma / junction.EmissionVolts
        : data.Rectifier is { } type && TubeCatalogue.Find(type) is { } tube ? tube.Spread.Emission
        : table["tube_emission"].Sigma;
}
