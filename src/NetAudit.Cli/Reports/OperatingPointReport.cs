using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Simulation;

namespace NetAudit.Cli.Reports;

/// <summary>The plain operating point as two tables.</summary>
internal static class OperatingPointReport
{
    public static void Write(Screen screen, Circuit circuit, OperatingPoint point)
    {
        screen.Line(circuit.Title, Ink.Heading);
        foreach (var note in point.Notes)
        {
            screen.Paragraph(note, "note: ");
        }
        screen.Heading("Node voltages against chassis");
        var nodes = new TextTable(("node", Side.Left), ("volts", Side.Right));
        foreach (var node in circuit.Nodes.Where(node => node.Index != 0))
        {
            nodes.Add(node.Name, MeterText.Volts(point.NodeVolts[node.Index]));
        }
        nodes.Write(screen, "  ");
        if (point.BranchAmps.Length > 0)
        {
            screen.Heading("Currents, from the first terminal through the element to the second");
            var branches = new TextTable(("element", Side.Left), ("current", Side.Right));
            foreach (var (element, amps) in point.BranchAmps)
            {
                branches.Add(circuit.Elements[element].Name, EngineeringNotation.Format(amps, "A"));
            }
            branches.Write(screen, "  ");
        }
        screen.Line();
        screen.Paragraph(
            $"Found by {point.Strategy} in {Figures.Count(point.Iterations, "iteration")}; Kirchhoff's current law holds to "
                + $"{EngineeringNotation.Format(point.Residual, "A", 2)} at every node."
        );
    }
}
