using NetAudit.Simulation.Sparse;

namespace NetAudit.Simulation.Compilation;

/// <summary>
/// Where each stamp reads and writes, worked out from the places of its ports. The compiled circuit holds the healthy state; a workspace
/// holds a copy and works out again what hangs on a port that has moved.
/// </summary>
internal sealed class Links
{
    private readonly Topology _topology;

    public Links(Topology topology)
    {
        _topology = topology;
        var ports = topology.Ports.Length;
        PortColumn = new int[ports];
        PortRow = new int[ports];
        Conductances = new int[8 * topology.Conductances.Length];
        Capacitances = new int[8 * topology.Capacitances.Length];
        InductanceSlot = new int[topology.Inductances.Length];
        MutualSlots = new int[2 * topology.MutualInductances.Length];
        LinearRow = new int[topology.LinearStamps.Length];
        LinearColumn = new int[topology.LinearStamps.Length];
        LinearSlot = new int[topology.LinearStamps.Length];
        ConstantRow = new int[topology.ConstantStamps.Length];
        InputColumn = new int[topology.InputPorts.Length];
        FlowRows = new int[2 * topology.Flows.Length];
        PartialSlots = new int[2 * topology.Partials.Length];
        Alias = new int[topology.IndexCount];
    }

    /// <summary>Index of the voltage or branch current at each port.</summary>
    public int[] PortColumn { get; }

    /// <summary>Equation that a current into each port enters.</summary>
    public int[] PortRow { get; }

    /// <summary>Eight a conductance: columns a, b; rows a, b; slots aa, ab, ba, bb.</summary>
    public int[] Conductances { get; }

    /// <summary>Eight a capacitance, as for conductances.</summary>
    public int[] Capacitances { get; }

    /// <summary>Slot of each inductor's current in its own equation.</summary>
    public int[] InductanceSlot { get; }

    /// <summary>Two a coupling: the second's current in the first's equation, and the other way round.</summary>
    public int[] MutualSlots { get; }

    public int[] LinearRow { get; }

    public int[] LinearColumn { get; }

    public int[] LinearSlot { get; }

    public int[] ConstantRow { get; }

    public int[] InputColumn { get; }

    /// <summary>Two a flow: the row it leaves, the row it enters.</summary>
    public int[] FlowRows { get; }

    /// <summary>Two a partial derivative: slots in the row its flow leaves and the row it enters.</summary>
    public int[] PartialSlots { get; }

    /// <summary>For a fixed group that floats on an edit's unknown, the place of that unknown; else the index itself.</summary>
    public int[] Alias { get; }

    /// <summary>Links with every port where the topology has it.</summary>
    public static Links Healthy(Topology topology)
    {
        var links = new Links(topology);
        for (var i = 0; i < topology.Ports.Length; i++)
        {
            links.PortColumn[i] = topology.Ports[i].Column;
            links.PortRow[i] = topology.Ports[i].Row;
        }
        for (var i = 0; i < links.Alias.Length; i++)
        {
            links.Alias[i] = i;
        }
        links.Resolve(topology.Program, null);
        return links;
    }

    public void CopyFrom(Links other)
    {
        Copy(other.PortColumn, PortColumn);
        Copy(other.PortRow, PortRow);
        Copy(other.Conductances, Conductances);
        Copy(other.Capacitances, Capacitances);
        Copy(other.InductanceSlot, InductanceSlot);
        Copy(other.MutualSlots, MutualSlots);
        Copy(other.LinearRow, LinearRow);
        Copy(other.LinearColumn, LinearColumn);
        Copy(other.LinearSlot, LinearSlot);
        Copy(other.ConstantRow, ConstantRow);
        Copy(other.InputColumn, InputColumn);
        Copy(other.FlowRows, FlowRows);
        Copy(other.PartialSlots, PartialSlots);
        Copy(other.Alias, Alias);

        static void Copy(int[] from, int[] to) => from.AsSpan().CopyTo(to);
    }

    /// <summary>Works out again what hangs on the ports marked, or everything when none are given.</summary>
    public void Resolve(EliminationProgram program, bool[]? moved)
    {
        var t = _topology;
        for (var i = 0; i < t.Conductances.Length; i++)
        {
            ResolveBetween(
                program,
                moved,
                t.Conductances[i].A,
                t.Conductances[i].B,
                Conductances.AsSpan(8 * i, 8)
            );
        }
        for (var i = 0; i < t.Capacitances.Length; i++)
        {
            ResolveBetween(
                program,
                moved,
                t.Capacitances[i].A,
                t.Capacitances[i].B,
                Capacitances.AsSpan(8 * i, 8)
            );
        }
        ResolveInductances(program);
        for (var i = 0; i < t.LinearStamps.Length; i++)
        {
            var (row, column) = (t.LinearStamps[i].RowPort, t.LinearStamps[i].ColumnPort);
            if (moved is null || moved[row] || moved[column])
            {
                LinearRow[i] = PortRow[row];
                LinearColumn[i] = PortColumn[column];
                LinearSlot[i] = Slot(program, PortRow[row], PortColumn[column]);
            }
        }
        for (var i = 0; i < t.ConstantStamps.Length; i++)
        {
            ConstantRow[i] = PortRow[t.ConstantStamps[i].RowPort];
        }
        for (var i = 0; i < t.InputPorts.Length; i++)
        {
            InputColumn[i] = PortColumn[t.InputPorts[i]];
        }
        for (var i = 0; i < t.Flows.Length; i++)
        {
            FlowRows[2 * i] = PortRow[t.Flows[i].From];
            FlowRows[2 * i + 1] = PortRow[t.Flows[i].To];
        }
        for (var i = 0; i < t.Partials.Length; i++)
        {
            var (flow, columnPort) = t.Partials[i];
            var (from, to) = (t.Flows[flow].From, t.Flows[flow].To);
            if (moved is null || moved[columnPort] || moved[from] || moved[to])
            {
                var column = PortColumn[columnPort];
                PartialSlots[2 * i] = Slot(program, PortRow[from], column);
                PartialSlots[2 * i + 1] = Slot(program, PortRow[to], column);
            }
        }
    }

    private void ResolveBetween(
        EliminationProgram program,
        bool[]? moved,
        int a,
        int b,
        Span<int> at
    )
    {
        if (moved is null || moved[a] || moved[b])
        {
            at[0] = PortColumn[a];
            at[1] = PortColumn[b];
            at[2] = PortRow[a];
            at[3] = PortRow[b];
            at[4] = Slot(program, PortRow[a], PortColumn[a]);
            at[5] = Slot(program, PortRow[a], PortColumn[b]);
            at[6] = Slot(program, PortRow[b], PortColumn[a]);
            at[7] = Slot(program, PortRow[b], PortColumn[b]);
        }
    }

    // The ports of branch currents never move.
    private void ResolveInductances(EliminationProgram program)
    {
        var t = _topology;
        for (var i = 0; i < t.Inductances.Length; i++)
        {
            var equation = t.Inductances[i].Equation;
            InductanceSlot[i] = Slot(program, PortRow[equation], PortColumn[equation]);
        }
        for (var i = 0; i < t.MutualInductances.Length; i++)
        {
            var first = t.Inductances[t.MutualInductances[i].First].Equation;
            var second = t.Inductances[t.MutualInductances[i].Second].Equation;
            MutualSlots[2 * i] = Slot(program, PortRow[first], PortColumn[second]);
            MutualSlots[2 * i + 1] = Slot(program, PortRow[second], PortColumn[first]);
        }
    }

    /// <summary>
    /// Where an entry lies among a workspace's values: the sparse matrix, one slot for what belongs nowhere, then the columns, rows and
    /// corner of the edits.
    /// </summary>
    public int Slot(EliminationProgram program, int row, int column)
    {
        var n = _topology.UnknownCount;
        var firstEdit = _topology.FirstEdit;
        column = Alias[column];
        var discard = program.ValueCount;
        if (row < n && column < n)
        {
            return program.Slot(row, column);
        }
        if (row < n && column >= firstEdit)
        {
            return discard + 1 + (column - firstEdit) * n + row;
        }
        if (row >= firstEdit && column < n)
        {
            return discard + 1 + (Topology.MostPlaces + row - firstEdit) * n + column;
        }
        if (row >= firstEdit && column >= firstEdit)
        {
            return discard
                + 1
                + 2 * Topology.MostPlaces * n
                + (row - firstEdit) * Topology.MostPlaces
                + column
                - firstEdit;
        }
        return discard;
    }

    /// <summary>Number of values a workspace needs for a program.</summary>
    public static int ValueCount(EliminationProgram program) =>
        program.ValueCount
        + 1
        + 2 * Topology.MostPlaces * program.Size
        + Topology.MostPlaces * Topology.MostPlaces;
}
