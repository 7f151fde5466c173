using NetAudit.Simulation.Sparse;

namespace NetAudit.Simulation.Compilation;

/// <summary>From stamps to a sparsity pattern, a pairing of rows with columns, and an elimination program.</summary>
internal static class StructureAnalysis
{
    public static (SparsePattern, EliminationProgram) Analyse(
        int unknowns,
        Port[] ports,
        List<Conductance> conductances,
        List<Capacitance> capacitances,
        List<(int FirstPort, int SecondPort)> coupled,
        List<LinearStamp> linear,
        List<Flow> flows,
        List<(int Flow, int ColumnPort)> partials,
        List<int> leakage,
        PivotOrder? given
    )
    {
        var entries = new List<long>(
            4 * conductances.Count
                + 4 * capacitances.Count
                + 2 * coupled.Count
                + linear.Count
                + 2 * partials.Count
                + unknowns
        );
        var changes = new bool[unknowns];
        foreach (var conductance in conductances)
        {
            AddBetween(conductance.A, conductance.B);
        }
        foreach (var capacitance in capacitances)
        {
            AddBetween(capacitance.A, capacitance.B);
        }
        foreach (var (first, second) in coupled)
        {
            Add(ports[first].Row, ports[second].Column);
            Add(ports[second].Row, ports[first].Column);
        }
        foreach (var stamp in linear)
        {
            Add(ports[stamp.RowPort].Row, ports[stamp.ColumnPort].Column);
        }
        foreach (var unknown in leakage)
        {
            Add(unknown, unknown);
        }
        foreach (var (flow, columnPort) in partials)
        {
            var column = ports[columnPort].Column;
            foreach (var port in (ReadOnlySpan<int>)[flows[flow].From, flows[flow].To])
            {
                Add(ports[port].Row, column);
                MarkChanging(ports[port].Row);
            }
            MarkChanging(column);
        }
        var pattern = SparsePattern.FromEntries(
            unknowns,
            System.Runtime.InteropServices.CollectionsMarshal.AsSpan(entries)
        );
        if (given is not null)
        {
            return (pattern, new EliminationProgram(pattern, given));
        }
        var rowOf = PivotPairing.Pair(pattern, linear, ports);
        var isStatic = new bool[unknowns];
        for (var column = 0; column < unknowns; column++)
        {
            isStatic[column] = !changes[column] && !changes[rowOf[column]];
        }
        var order = MinimumDegree.Order(pattern, rowOf, isStatic);
        return (pattern, new EliminationProgram(pattern, order));

        void AddBetween(int portA, int portB)
        {
            var (a, b) = (ports[portA], ports[portB]);
            Add(a.Row, a.Column);
            Add(a.Row, b.Column);
            Add(b.Row, a.Column);
            Add(b.Row, b.Column);
        }

        void Add(int row, int column)
        {
            if (row < unknowns && column < unknowns)
            {
                entries.Add(SparsePattern.Entry(row, column));
            }
        }

        void MarkChanging(int index)
        {
            if (index < unknowns)
            {
                changes[index] = true;
            }
        }
    }
}
