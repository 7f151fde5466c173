using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.Units.Faults;

namespace NetAudit.Reference.Units;

/// <summary>Draws how one healthy unit differs from nominal: design section 6.1, uniform within limits, normal where one sigma is given.</summary>
public sealed class HealthySpread(Amplifier amplifier)
{
    private const double ThermalVolts = 0.025865;

    private readonly ServiceSheet sheet = amplifier.Sheet;

    /// <summary>The edits of one unit.</summary>
    public IEnumerable<CircuitEdit> Draw(Random random)
    {
        var edits = new List<CircuitEdit>();
        var wall = 1 + sheet.Mains.Spread * random.Normal();
        foreach (var part in amplifier.Parts)
        {
            edits.AddRange(Draw(part, wall, random));
        }
        return edits;
    }

    private IEnumerable<CircuitEdit> Draw(Part part, double wall, Random random) =>
        part.Class switch
        {
            PartClass.Resistor => Scaled(part, Tolerance(part, ResistorKey(part)), random),
            PartClass.Potentiometer => Scaled(part, Tolerance(part, "potentiometer"), random),
            PartClass.Winding => Scaled(part, Tolerance(part, "winding"), random),
            PartClass.Tube => part.Sections.SelectMany(section => OfSection(part, section, random)),
            PartClass.BipolarTransistor => OfTransistor(part, random),
            PartClass.Diode => OfDiode(part, random),
            PartClass.Supply when IsMainsFed(part) => Scaled(part, wall),
            PartClass.Supply => Scaled(part, 1 + Deviation(Tolerance(part, "supply"), random)),
            _ => [],
        };

    private bool IsMainsFed(Part part) =>
        sheet.Mains.Sources.Contains(part.Name, StringComparer.OrdinalIgnoreCase);

    private string ResistorKey(Part part)
    {
        // A tolerance that the sheet gives for all resistors overrides the built-in figures of their kinds.
        var kind = part.Data?.Kind is { } k
            ? "resistor_" + k.Replace(' ', '_').Replace('-', '_')
            : "";
        return
            sheet.GivenTolerances.Contains("resistor") && !sheet.GivenTolerances.Contains(kind)
            || sheet.Tolerances.Find(kind) is null
            ? "resistor"
            : kind;
    }

    private Tolerance Tolerance(Part part, string key) =>
        part.Data?.Tolerance ?? sheet.Tolerances[key];

    private static double Deviation(Tolerance tolerance, Random random) =>
        tolerance.IsSigma
            ? tolerance.High * random.Normal()
            : random.Between(tolerance.Low, tolerance.High);

    private IEnumerable<CircuitEdit> Scaled(Part part, Tolerance tolerance, Random random) =>
        Scaled(part, 1 + Deviation(tolerance, random));

    private IEnumerable<CircuitEdit> Scaled(Part part, double factor)
    {
        foreach (var element in part.Elements)
        {
            switch (amplifier.Circuit.Elements[element])
            {
                case Resistor r:
                    yield return new SetValue(element, r.Ohms * factor);
                    break;
                case VoltageSource v:
                    yield return new SetValue(element, v.Stimulus.Dc * factor);
                    break;
            }
        }
    }

    private IEnumerable<CircuitEdit> OfSection(Part part, TubeSection section, Random random)
    {
        var emission =
            part.Data?.TubeEmission
            ?? FromSheet("tube_emission")
            ?? part.TubeType?.Spread.Emission
            ?? sheet.Tolerances["tube_emission"].High;
        var offset =
            part.Data?.TubeGrid
            ?? FromSheet("tube_grid")
            ?? part.TubeType?.Spread.GridVolts
            ?? sheet.Tolerances["tube_grid"].High;
        var factor = Math.Exp(emission * random.Normal());
        var volts = offset * random.Normal();
        foreach (var edit in TubeFaults.Emission(amplifier.Circuit, section, factor))
        {
            yield return edit;
        }
        if (section.Grid >= 0)
        {
            yield return new SetOffset(section.Grid, volts);
        }
    }

    private double? FromSheet(string key) =>
        sheet.GivenTolerances.Contains(key) ? sheet.Tolerances[key].High : null;

    private IEnumerable<CircuitEdit> OfDiode(Part part, Random random)
    {
        var diode = (Diode)amplifier.Circuit.Elements[part.Elements[0]];
        var volts = Deviation(sheet.Tolerances["diode_forward"], random);
        var emission = diode.Model.Get("n", 1) * ThermalVolts;
        yield return new SetStrength(part.Elements[0], Math.Exp(volts / emission));
        if (diode.Model.Parameters.ContainsKey("bv"))
        {
            var factor = 1 + Deviation(sheet.Tolerances["zener_voltage"], random);
            yield return new SetBreakdown(part.Elements[0], factor);
        }
    }

    private IEnumerable<CircuitEdit> OfTransistor(Part part, Random random)
    {
        var gain = 1 + Deviation(sheet.Tolerances["transistor_beta"], random);
        var volts = Deviation(sheet.Tolerances["transistor_vbe"], random);
        yield return new SetCurrentGain(part.Elements[0], gain);
        yield return new SetStrength(part.Elements[0], Math.Exp(volts / ThermalVolts));
    }
}
