namespace NetAudit.Simulation.Compilation;

/// <summary>A column of a Jacobian and what its rule works on.</summary>
internal readonly record struct ColumnTarget(int Column, int Target);

/// <summary>The columns of one list, sorted by the rule that differentiates them, so that each rule runs over its own.</summary>
internal sealed class ColumnPlan
{
    private readonly int[] _columns;

    public ColumnPlan(ReadOnlySpan<int> columns, DerivativePlan plan, Topology topology)
    {
        _columns = [.. columns];
        Idle = Of(plan, DerivativeRule.None);
        Conductances = Of(plan, DerivativeRule.Conductance);
        Constants = Of(plan, DerivativeRule.Constant);
        Folded = Of(plan, DerivativeRule.Folded);
        Capacitances = Of(plan, DerivativeRule.Capacitance);
        Inductances = Of(plan, DerivativeRule.Inductance);
        Gains = Of(plan, DerivativeRule.Gain);
        LinearStrengths = Of(plan, DerivativeRule.LinearStrength);
        FlowStrengths = Of(plan, DerivativeRule.FlowStrength);
        Offsets = Of(plan, DerivativeRule.Offset);
        OffsetControls =
        [
            .. Offsets.Select(offset =>
                topology
                    .ControlStamps.Where(stamp =>
                        topology.Ports[topology.LinearStamps[stamp].ColumnPort].Pin == offset.Target
                    )
                    .ToArray()
            ),
        ];
        Supplies =
        [
            .. plan.SupplyParameters.SelectMany(p =>
                Enumerable
                    .Range(0, _columns.Length)
                    .Where(column => _columns[column] == p.Parameter)
                    .Select(column => new SupplyColumn(column, p.Supply, p.Quantity))
            ),
        ];
        var parameters = plan.Rules.Length;
        Semiconductors =
        [
            .. Of(plan, DerivativeRule.Semiconductor)
                .Select(target => target with { Target = _columns[target.Column] }),
        ];
        Edits =
        [
            .. Enumerable
                .Range(0, _columns.Length)
                .Where(i => _columns[i] >= parameters)
                .Select(i => new ColumnTarget(i, _columns[i] - parameters)),
        ];
    }

    public int Count => _columns.Length;

    /// <summary>Columns that are zero.</summary>
    public ColumnTarget[] Idle { get; }

    /// <summary>By conductance.</summary>
    public ColumnTarget[] Conductances { get; }

    /// <summary>By element.</summary>
    public ColumnTarget[] Constants { get; }

    /// <summary>By folded source.</summary>
    public ColumnTarget[] Folded { get; }

    /// <summary>By capacitance.</summary>
    public ColumnTarget[] Capacitances { get; }

    /// <summary>By inductance.</summary>
    public ColumnTarget[] Inductances { get; }

    /// <summary>By element.</summary>
    public ColumnTarget[] Gains { get; }

    /// <summary>By element.</summary>
    public ColumnTarget[] LinearStrengths { get; }

    /// <summary>By flow.</summary>
    public ColumnTarget[] FlowStrengths { get; }

    /// <summary>By pin.</summary>
    public ColumnTarget[] Offsets { get; }

    /// <summary>For each of <see cref="Offsets"/> the linear stamps whose control input lies behind the pin.</summary>
    public int[][] OffsetControls { get; }

    /// <summary>By parameter.</summary>
    public ColumnTarget[] Semiconductors { get; }

    /// <summary>By supply; these come on top of what the columns' own rules give.</summary>
    public SupplyColumn[] Supplies { get; }

    /// <summary>By edit.</summary>
    public ColumnTarget[] Edits { get; }

    public bool IsFor(ReadOnlySpan<int> columns) => columns.SequenceEqual(_columns);

    private ColumnTarget[] Of(DerivativePlan plan, DerivativeRule rule) =>
        [
            .. Enumerable
                .Range(0, _columns.Length)
                .Where(i => _columns[i] < plan.Rules.Length && plan.Rules[_columns[i]] == rule)
                .Select(i => new ColumnTarget(i, plan.Targets[_columns[i]])),
        ];
}
