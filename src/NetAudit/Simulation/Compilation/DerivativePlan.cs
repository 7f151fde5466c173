using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Simulation.Compilation;

/// <summary>By what rule a parameter's derivative is worked out.</summary>
internal enum DerivativeRule : byte
{
    /// <summary>It does nothing at DC.</summary>
    None,

    /// <summary>Ohms of a conductance.</summary>
    Conductance,

    /// <summary>A current source, or a voltage source with a branch current.</summary>
    Constant,

    /// <summary>A folded voltage source: it moves nodes directly.</summary>
    Folded,

    /// <summary>Gain of a linear controlled source.</summary>
    Gain,

    /// <summary>Strength of a linear controlled source.</summary>
    LinearStrength,

    /// <summary>Strength of a behavioural source.</summary>
    FlowStrength,

    /// <summary>Offset of a pin.</summary>
    Offset,

    /// <summary>A parameter of a semiconductor.</summary>
    Semiconductor,

    /// <summary>Farads of a capacitance of a dynamic topology.</summary>
    Capacitance,

    /// <summary>Henries of an inductance of a dynamic topology.</summary>
    Inductance,
}

/// <summary>For each parameter its rule and what the rule works on: a conductance, a flow, an element, a pin, a folded source.</summary>
internal sealed class DerivativePlan
{
    private DerivativePlan(int parameters)
    {
        Rules = new DerivativeRule[parameters];
        Targets = new int[parameters];
    }

    public DerivativeRule[] Rules { get; }

    public int[] Targets { get; }

    /// <summary>Elements of the folded voltage sources, in the order the rule numbers them.</summary>
    public List<int> FoldedSources { get; } = [];

    /// <summary>What each of <see cref="FoldedSources"/> can move.</summary>
    public FoldedReach[] Reaches { get; private set; } = [];

    /// <summary>Parameters that a supply's current depends on, beside their own rules.</summary>
    public (int Parameter, int Supply, SupplyQuantity Quantity)[] SupplyParameters
    {
        get;
        private set;
    } = [];

    public static DerivativePlan For(
        Circuit circuit,
        Topology topology,
        ImmutableArray<Parameter> parameters
    )
    {
        var plan = new DerivativePlan(parameters.Length);
        for (var i = 0; i < parameters.Length; i++)
        {
            (plan.Rules[i], plan.Targets[i]) = plan.Choose(circuit, topology, parameters[i]);
        }
        plan.Reaches = [.. plan.FoldedSources.Select(source => FoldedReach.Of(source, topology))];
        plan.SupplyParameters =
        [
            .. Enumerable
                .Range(0, topology.Supplies.Length)
                .SelectMany(supply =>
                    ListSupply(topology.Supplies[supply], parameters)
                        .Select(pair => (pair.Parameter, supply, pair.Quantity))
                ),
        ];
        return plan;
    }

    private static IEnumerable<(int Parameter, SupplyQuantity Quantity)> ListSupply(
        SupplyInstance instance,
        ImmutableArray<Parameter> parameters
    )
    {
        for (var i = 0; i < parameters.Length; i++)
        {
            var (kind, index, _) = parameters[i];
            if (index == instance.Element && kind != ParameterKind.Offset)
            {
                yield return (
                    i,
                    kind switch
                    {
                        ParameterKind.Value => SupplyQuantity.Secondary,
                        ParameterKind.Strength => SupplyQuantity.Strength,
                        ParameterKind.Winding => SupplyQuantity.Winding,
                        ParameterKind.FirstRectifier => SupplyQuantity.First,
                        _ => SupplyQuantity.Second,
                    }
                );
            }
            else if (kind == ParameterKind.Value && index == instance.Supply.Reservoir)
            {
                yield return (i, SupplyQuantity.Farads);
            }
            else if (kind == ParameterKind.Value && instance.Supply.Series.Contains(index))
            {
                yield return (i, SupplyQuantity.Series);
            }
        }
    }

    private (DerivativeRule, int) Choose(Circuit circuit, Topology t, Parameter parameter)
    {
        var index = parameter.Index;
        switch (parameter.Kind)
        {
            case ParameterKind.Offset:
                return (DerivativeRule.Offset, index);
            case not ParameterKind.Offset
                when circuit.Elements[index] is VoltageSource { Supply: not null }:
                return (DerivativeRule.None, -1);
            case ParameterKind.Strength when t.FirstFlowOf[index] >= 0:
                return (DerivativeRule.FlowStrength, t.FirstFlowOf[index]);
            case ParameterKind.Strength when t.FirstLinearOf[index] >= 0:
                return (DerivativeRule.LinearStrength, index);
            case ParameterKind.Value:
                switch (circuit.Elements[index])
                {
                    case Capacitor when t.CapacitanceOf[index] >= 0:
                        return (DerivativeRule.Capacitance, t.CapacitanceOf[index]);
                    case Inductor when t.InductanceOf[index] >= 0:
                        return (DerivativeRule.Inductance, t.InductanceOf[index]);
                    case Resistor:
                        return (DerivativeRule.Conductance, t.ConductanceOf[index]);
                    case VoltageSource when t.BranchOf[index] < 0:
                        FoldedSources.Add(index);
                        return (DerivativeRule.Folded, FoldedSources.Count - 1);
                    case VoltageSource or CurrentSource:
                        return (DerivativeRule.Constant, index);
                    case VoltageControlledSource or CurrentControlledSource:
                        return (DerivativeRule.Gain, index);
                    default:
                        return (DerivativeRule.None, -1);
                }
            default:
                return (DerivativeRule.Semiconductor, index);
        }
    }
}
