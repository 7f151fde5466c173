using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>Every stress of an amplifier that an operating point shows, ready to be read off any number of workspaces. Immutable.</summary>
internal sealed class StressPlan
{
    private StressPlan(ImmutableArray<StressPoint> points) => Points = points;

    /// <summary>The stresses in netlist order of their parts.</summary>
    public ImmutableArray<StressPoint> Points { get; }

    public static StressPlan Of(Amplifier amplifier)
    {
        var points = ImmutableArray.CreateBuilder<StressPoint>();
        foreach (var part in amplifier.Parts)
        {
            switch (part.Class)
            {
                case PartClass.Resistor or PartClass.Potentiometer:
                    PassiveStresses.AddResistor(points, amplifier, part);
                    break;
                case PartClass.Capacitor or PartClass.Electrolytic:
                    PassiveStresses.AddCapacitor(points, amplifier, part);
                    break;
                case PartClass.Winding:
                    PassiveStresses.AddWinding(points, amplifier, part);
                    break;
                case PartClass.Fuse:
                    PassiveStresses.AddFuse(points, amplifier, part);
                    break;
                case PartClass.Tube:
                    TubeStresses.Add(points, amplifier, part);
                    break;
                case PartClass.Supply:
                    SupplyStresses.Add(points, amplifier, part);
                    break;
                case PartClass.Diode:
                    SemiconductorStresses.AddDiode(points, amplifier, part);
                    break;
                case PartClass.BipolarTransistor or PartClass.JunctionFet or PartClass.MosFet:
                    SemiconductorStresses.AddTransistor(points, amplifier, part);
                    break;
            }
        }
        return new(points.ToImmutable());
    }

    /// <summary>The stresses that a condition shows.</summary>
    public StressPlan In(StressCondition condition) =>
        new([.. Points.Where(point => point.Item.Kind.ShowsIn(condition))]);

    /// <summary>Reads every stress off a solved workspace.</summary>
    /// <param name="workspace">The workspace.</param>
    /// <param name="values">Where to: one value a point.</param>
    public void Read(Workspace workspace, Span<double> values)
    {
        workspace.EvaluateCurrents();
        for (var i = 0; i < Points.Length; i++)
        {
            values[i] = Points[i].Read(workspace);
        }
    }
}
