using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Simulation.Devices;
using NetAudit.Simulation.Laws;
using NetAudit.Simulation.Sparse;

namespace NetAudit.Simulation.Compilation;

/// <summary>
/// One end of something that stamps: where its voltage (or branch current) stands, and which equation its current enters. A workspace
/// moves ports to other places when a joint breaks.
/// </summary>
internal readonly record struct Port(int Node, int Pin, int Column, int Row);

/// <summary>A conductance between two ports; siemens are fixed, or follow the ohms of an element.</summary>
internal readonly record struct Conductance(int A, int B, int Element, double Siemens);

/// <summary>A capacitor between two ports.</summary>
internal readonly record struct Capacitance(int A, int B, int Element);

/// <summary>An inductor: the port of its branch current, whose row is the equation that states its voltage.</summary>
internal readonly record struct Inductance(int Equation, int Element);

/// <summary>A coupling K between two of the inductances: what the current of one adds to the voltage of the other.</summary>
internal readonly record struct MutualInductance(int First, int Second, int Element);

/// <summary>
/// A constant Jacobian entry: <c>Constant + PerValue * value(element) * strength(element)</c>. <see cref="IsBranchDiagonal"/> marks the
/// entry of a branch current in its own equation.
/// </summary>
internal readonly record struct LinearStamp(
    int RowPort,
    int ColumnPort,
    int Element,
    double Constant,
    double PerValue,
    bool IsBranchDiagonal
);

/// <summary>A constant current into an equation: sign times the value of an element.</summary>
internal readonly record struct ConstantStamp(int RowPort, int Element, double Sign);

/// <summary>The laws of one device: a range of inputs, flows and partials.</summary>
internal sealed record LawInstance(
    CompiledLaw Law,
    double[] Constants,
    double[] RawConstants,
    int FirstInput,
    int FirstFlow,
    int FirstPartial
);

/// <summary>A semiconductor: a range of inputs, flows, partials, junctions and stored charges.</summary>
internal sealed record SemiconductorInstance(
    NonlinearDevice Device,
    int Element,
    int FirstInput,
    int InputCount,
    int FirstFlow,
    int FirstPartial,
    int FirstJunction,
    int FirstCharge
);

/// <summary>A non-linear current from one port to another, and the element whose strength scales it (-1: none).</summary>
internal readonly record struct Flow(int From, int To, int Element, double Scale);

/// <summary>
/// A compiled circuit's structure. Columns and rows share one index space: unknowns [0, n), fixed groups [n, n + m) with chassis first,
/// discarded rows (the first catches what belongs nowhere), and <see cref="MostPlaces"/> places for edits.
/// </summary>
internal sealed class Topology
{
    /// <summary>How many edits a workspace can hold at once.</summary>
    public const int MostEdits = 8;

    /// <summary>Places for unknowns beyond the circuit's own: those of the edits, and of test signals fed in.</summary>
    public const int MostPlaces = 12;

    /// <summary>
    /// Siemens across every junction, and from nodes that nothing else ties to chassis: SPICE's GMIN.
    /// </summary>
    public const double Leakage = 1e-12;

    /// <summary>
    /// Siemens from every other node to chassis, so that no state of the circuit leaves one without a voltage: small against the leakage
    /// of an open joint.
    /// </summary>
    public const double TraceLeakage = 1e-15;

    /// <summary>
    /// False: the structure at DC, where inductors are shorts and capacitors open. True: each inductor has an unknown current, each
    /// capacitor places in the pattern.
    /// </summary>
    public required bool IsDynamic { get; init; }

    public required int UnknownCount { get; init; }

    /// <summary>The unknowns that are node voltages (the rest are branch currents).</summary>
    public required bool[] IsVoltage { get; init; }

    /// <summary>Unknowns in whose rows leakage to chassis is stamped.</summary>
    public required int[] LeakageUnknowns { get; init; }

    /// <summary>Siemens to chassis at each of <see cref="LeakageUnknowns"/>.</summary>
    public required double[] LeakageSiemens { get; init; }

    public required int FixedCount { get; init; }

    public required int DiscardedCount { get; init; }

    public required NodeFolding Folding { get; init; }

    /// <summary>Index of each node's voltage.</summary>
    public required int[] NodeColumn { get; init; }

    /// <summary>Equation that a current into each node enters.</summary>
    public required int[] NodeRow { get; init; }

    /// <summary>Branch current of elements that have one: its index, else -1.</summary>
    public required int[] BranchOf { get; init; }

    /// <summary>By element: the linear stamp of its branch current in its own equation, or -1.</summary>
    public required int[] BranchDiagonalOf { get; init; }

    public required Port[] Ports { get; init; }

    public required Conductance[] Conductances { get; init; }

    public required LinearStamp[] LinearStamps { get; init; }

    public required ConstantStamp[] ConstantStamps { get; init; }

    /// <summary>Empty at DC.</summary>
    public required Capacitance[] Capacitances { get; init; }

    /// <summary>Empty at DC.</summary>
    public required Inductance[] Inductances { get; init; }

    /// <summary>Empty at DC.</summary>
    public required MutualInductance[] MutualInductances { get; init; }

    public required LawInstance[] Laws { get; init; }

    public required SemiconductorInstance[] Semiconductors { get; init; }

    /// <summary>Rectifier supplies.</summary>
    public required SupplyInstance[] Supplies { get; init; }

    /// <summary>For each pin the element it belongs to, or -1 when it belongs to a device of several elements.</summary>
    public required int[] PinOwner { get; init; }

    /// <summary>Inner nodes of semiconductors, and the port outside the resistance before each.</summary>
    public required (int Inner, int OuterPort)[] InnerNodes { get; init; }

    /// <summary>Linear stamps whose column is a control input behind a pin, which may be offset.</summary>
    public required int[] ControlStamps { get; init; }

    /// <summary>Port of each input of the non-linear devices.</summary>
    public required int[] InputPorts { get; init; }

    public required Flow[] Flows { get; init; }

    /// <summary>Pin of each input, or -1.</summary>
    public int[] InputPins => field ??= [.. InputPorts.Select(port => Ports[port].Pin)];

    /// <summary>Slots of the diagonal entries of <see cref="LeakageUnknowns"/>.</summary>
    public int[] DiagonalSlots =>
        field ??= [.. LeakageUnknowns.Select(unknown => Program.Slot(unknown, unknown))];

    /// <summary>Flow and column port of each partial derivative.</summary>
    public required (int Flow, int ColumnPort)[] Partials { get; init; }

    public required int JunctionCount { get; init; }

    /// <summary>Charges that semiconductors store.</summary>
    public required int ChargeCount { get; init; }

    public required SparsePattern Pattern { get; init; }

    public required EliminationProgram Program { get; init; }

    /// <summary>By element: its first behavioural flow, or -1.</summary>
    public required int[] FirstFlowOf { get; init; }

    /// <summary>By element: its first linear stamp with a value, or -1.</summary>
    public required int[] FirstLinearOf { get; init; }

    /// <summary>By element: its first constant stamp, or -1.</summary>
    public required int[] FirstConstantOf { get; init; }

    /// <summary>By element: the conductance that follows its ohms, or -1.</summary>
    public required int[] ConductanceOf { get; init; }

    /// <summary>By element: its place in <see cref="Capacitances"/>, or -1.</summary>
    public required int[] CapacitanceOf { get; init; }

    /// <summary>By element: its place in <see cref="Inductances"/>, or -1.</summary>
    public required int[] InductanceOf { get; init; }

    /// <summary>By element: its place in <see cref="Semiconductors"/>, or -1.</summary>
    public required int[] SemiconductorOf { get; init; }

    /// <summary>By flow: its partial derivatives.</summary>
    public int[][] PartialsOf =>
        field ??= [
            .. Enumerable
                .Range(0, Flows.Length)
                .GroupJoin(
                    Enumerable.Range(0, Partials.Length),
                    flow => flow,
                    partial => Partials[partial].Flow,
                    (_, partials) => partials.ToArray()
                ),
        ];

    /// <summary>By pin: the partial derivatives of behavioural sources by the input behind it.</summary>
    public int[][] LawPartialsBehind => field ??= ListLawPartials();

    /// <summary>By pin: the inputs of behavioural sources behind it.</summary>
    public int[][] LawInputsBehind =>
        field ??= [
            .. Enumerable
                .Range(0, PinOwner.Length)
                .Select(pin =>
                    Laws.SelectMany(law => Enumerable.Range(law.FirstInput, law.Law.InputCount))
                        .Where(input => InputPins[input] == pin)
                        .ToArray()
                ),
        ];

    private int[][] ListLawPartials()
    {
        var lists = new List<int>[PinOwner.Length];
        for (var pin = 0; pin < lists.Length; pin++)
        {
            lists[pin] = [];
        }
        foreach (var instance in Laws)
        {
            for (var i = 0; i < instance.Law.Partials.Length; i++)
            {
                var partial = instance.FirstPartial + i;
                if (Ports[Partials[partial].ColumnPort].Pin is >= 0 and var pin)
                {
                    lists[pin].Add(partial);
                }
            }
        }
        return [.. lists.Select(list => list.ToArray())];
    }

    /// <summary>By pin: the first port behind it, or -1.</summary>
    public int[] PortOfPin => field ??= ListPorts();

    private int[] ListPorts()
    {
        var ports = new int[PinOwner.Length];
        Array.Fill(ports, -1);
        for (var i = Ports.Length - 1; i >= 0; i--)
        {
            if (Ports[i].Pin >= 0)
            {
                ports[Ports[i].Pin] = i;
            }
        }
        return ports;
    }

    /// <summary>The links of the healthy circuit, which workspaces copy.</summary>
    public Links HealthyLinks => field ??= Links.Healthy(this);

    /// <summary>Warnings that the structure alone gives: nodes without a DC path.</summary>
    public required ImmutableArray<string> Notes { get; init; }

    /// <summary>Why no currents at all can satisfy the circuit, or null.</summary>
    public required Diagnostic? Contradiction { get; init; }

    public int Chassis => UnknownCount;

    public int Discard => UnknownCount + FixedCount;

    public int FirstEdit => UnknownCount + FixedCount + DiscardedCount;

    public int IndexCount => FirstEdit + MostPlaces;
}
