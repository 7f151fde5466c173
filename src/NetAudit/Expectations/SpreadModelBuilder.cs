using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>Builds the spread model of an amplifier from its sheet and the class defaults.</summary>
internal static class SpreadModelBuilder
{
    /// <summary>Thermal voltage at 27 °C, volts: turns a spread of forward volts into one of saturation current.</summary>
    private const double ThermalVolts = 0.025865;

    /// <summary>Every independent spread of a healthy unit.</summary>
    public static SpreadModel Build(Amplifier amplifier, CompiledCircuit compiled)
    {
        var terms = ImmutableArray.CreateBuilder<SpreadTerm>();
        foreach (var part in amplifier.Parts)
        {
            terms.AddRange(PartTerms(amplifier, compiled, part));
        }
        terms.AddRange(SupplyTerms(amplifier, compiled));
        terms.AddRange(SupplySpreads.Of(amplifier, compiled));
        return new([
            .. terms
                .Where(t => t.Sigma > 0 && t.Parameters.Length > 0)
                .Select(t => CalibratedSpreads.Narrowed(t, amplifier.Sheet.Calibration)),
        ]);
    }

    private static IEnumerable<SpreadTerm> PartTerms(
        Amplifier amplifier,
        CompiledCircuit compiled,
        Part part
    ) =>
        part.Class switch
        {
            PartClass.Fixture or PartClass.Supply or PartClass.Fuse or PartClass.Contact => [],
            PartClass.Tube => part
                .Sections.SelectMany(s => TubeTerms(amplifier, compiled, part, s))
                .Select(term => term with { Tube = part.Name }),
            _ => part.Elements.SelectMany(e => ElementTerms(amplifier, compiled, part, e)),
        };

    private static IEnumerable<SpreadTerm> ElementTerms(
        Amplifier amplifier,
        CompiledCircuit compiled,
        Part part,
        int index
    )
    {
        var element = amplifier.Circuit.Elements[index];
        var table = amplifier.Sheet.Tolerances;
        SpreadTerm Term(string suffix, ParameterKind kind, double sigma, bool isFactor) =>
            new(element.Name + suffix, sigma, isFactor, Existing(compiled, [(kind, index)]));
        switch (element)
        {
            case Resistor:
                yield return Term(
                    "",
                    ParameterKind.Value,
                    ResistorTolerance(table, part).Sigma,
                    true
                );
                break;
            case Capacitor:
                yield return Term(
                    "",
                    ParameterKind.Value,
                    CapacitorTolerance(table, part).Sigma,
                    true
                );
                break;
            case Diode diode:
                var emission = diode.Model.Get("n", 1) * ThermalVolts;
                yield return Term(
                    " forward",
                    ParameterKind.Strength,
                    table["diode_forward"].Sigma / emission,
                    true
                );
                if (diode.Model.Parameters.TryGetValue("bv", out var breakdown))
                {
                    var sigma = table["zener_voltage"].Sigma * Math.Abs(breakdown);
                    yield return Term(" breakdown", ParameterKind.Threshold, sigma, false);
                }
                break;
            case BipolarTransistor:
                yield return Term(
                    " gain",
                    ParameterKind.Gain,
                    table["transistor_beta"].Sigma,
                    true
                );
                yield return Term(
                    " Vbe",
                    ParameterKind.Strength,
                    table["transistor_vbe"].Sigma / ThermalVolts,
                    true
                );
                break;
            case JunctionFet fet:
                yield return Term(" Idss", ParameterKind.Strength, table["jfet_idss"].Sigma, true);
                var pinchOff = Math.Abs(fet.Model.Get("vto", -2));
                yield return Term(
                    " Vto",
                    ParameterKind.Offset,
                    table["jfet_vto"].Sigma * pinchOff,
                    false
                );
                break;
            case MosFet mos:
                yield return Term(" Kp", ParameterKind.Strength, table["mosfet_kp"].Sigma, true);
                var threshold = Math.Abs(mos.Model.Get("vto", 0));
                yield return Term(
                    " Vto",
                    ParameterKind.Offset,
                    table["mosfet_vto"].Sigma * threshold,
                    false
                );
                break;
        }
    }

    private static IEnumerable<SpreadTerm> TubeTerms(
        Amplifier amplifier,
        CompiledCircuit compiled,
        Part part,
        TubeSection section
    )
    {
        var table = amplifier.Sheet.Tolerances;
        var emission =
            part.Data?.TubeEmission
            ?? (Given(amplifier, "tube_emission") ? null : part.TubeType?.Spread.Emission)
            ?? table["tube_emission"].Sigma;
        var grid =
            part.Data?.TubeGrid
            ?? (Given(amplifier, "tube_grid") ? null : part.TubeType?.Spread.GridVolts)
            ?? table["tube_grid"].Sigma;
        yield return new(
            section.Instance + " emission",
            emission,
            true,
            [
                .. TubeSources
                    .Of(amplifier.Circuit, section)
                    .Emission.Select(e => compiled.FindParameter(ParameterKind.Strength, e))
                    .Where(p => p >= 0),
            ]
        );
        if (section.Grid >= 0)
        {
            yield return new(
                section.Instance + " grid offset",
                grid,
                false,
                Existing(compiled, [(ParameterKind.Offset, section.Grid)])
            );
        }
    }

    private static IEnumerable<SpreadTerm> SupplyTerms(
        Amplifier amplifier,
        CompiledCircuit compiled
    )
    {
        var supplies = amplifier
            .Parts.Where(p => p.Class == PartClass.Supply)
            .SelectMany(p => p.Elements)
            .Where(e => amplifier.Circuit.Elements[e] is VoltageSource or CurrentSource)
            .ToArray();
        var mains = amplifier.Sheet.Mains;
        var following = supplies
            .Where(e => MainsSources.Follows(amplifier, amplifier.Circuit.Elements[e]))
            .ToArray();
        yield return new(
            "wall voltage",
            mains.Spread,
            true,
            Existing(compiled, following.Select(e => (ParameterKind.Value, e)))
        )
        {
            IsMains = true,
        };
        foreach (var own in supplies.Except(following))
        {
            yield return new(
                amplifier.Circuit.Elements[own].Name,
                amplifier.Sheet.Tolerances["supply"].Sigma,
                true,
                Existing(compiled, [(ParameterKind.Value, own)])
            );
        }
    }

    private static Tolerance CapacitorTolerance(ToleranceTable table, Part part) =>
        part.Data?.Tolerance
        ?? (part.Class == PartClass.Electrolytic ? table.Find("electrolytic") : null)
        ?? table["capacitor"];

    private static Tolerance ResistorTolerance(ToleranceTable table, Part part)
    {
        if (part.Data?.Tolerance is { } own)
        {
            return own;
        }
        return part.Class switch
        {
            PartClass.Potentiometer => table["potentiometer"],
            PartClass.Winding => table["winding"],
            _ when part.Data?.Kind is { } kind
                    && table.Find("resistor_" + kind.Replace('-', '_').Replace(' ', '_'))
                        is { } ofKind => ofKind,
            _ => table["resistor"],
        };
    }

    private static bool Given(Amplifier amplifier, string key) =>
        amplifier.Sheet.GivenTolerances.Contains(key);

    private static ImmutableArray<int> Existing(
        CompiledCircuit compiled,
        IEnumerable<(ParameterKind Kind, int Index)> wanted
    ) => [.. wanted.Select(w => compiled.FindParameter(w.Kind, w.Index)).Where(p => p >= 0)];
}
