using System.Runtime.CompilerServices;
using NetAudit.Simulation.Compilation;
using NetAudit.Simulation.Supplies;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

// Supplies: a rectifier with its reservoir as one flow, whose parameters are spread over several elements.
public sealed unsafe partial class Workspace
{
    private readonly SupplyElement[] _supplies;
    private readonly double[] _supplyWinding;
    private readonly double[] _supplyFirst;
    private readonly double[] _supplySecond;
    private readonly SupplyValues[] _supplySlopes;

    private void RestoreSupplies()
    {
        for (var i = 0; i < _supplies.Length; i++)
        {
            _supplyWinding[i] = _t.Supplies[i].Supply.WindingOhms;
            _supplyFirst[i] = 1;
            _supplySecond[i] = 1;
        }
    }

    private void SetSupply(ParameterKind kind, int element, double value)
    {
        var values = kind switch
        {
            ParameterKind.Winding => _supplyWinding,
            ParameterKind.FirstRectifier => _supplyFirst,
            _ => _supplySecond,
        };
        values[FindSupply(element)] = value;
    }

    private int FindSupply(int element) =>
        Array.FindIndex(_t.Supplies, supply => supply.Element == element);

    private void EvaluateSupplies(double* v, int* inputColumn)
    {
        for (var i = 0; i < _supplies.Length; i++)
        {
            ref readonly var instance = ref _t.Supplies[i];
            var supply = _supplies[i];
            supply.Evaluate(Values(i, v, inputColumn));
            _m.Flows[instance.Flow] = instance.Polarity * supply.Amps;
            var partials = _m.Partials + instance.FirstPartial;
            partials[0] = supply.ByReservoir;
            partials[1] = -supply.ByReservoir;
            partials[2] = supply.BySource;
            partials[3] = -supply.BySource;
        }
    }

    // From the source's second terminal to its first.
    private double SupplyAmps(int index)
    {
        Evaluate(_m.V, limit: false);
        return _m.Flows[_t.Supplies[index].Flow];
    }

    /// <summary>The rectifier of a source as <see cref="EvaluateCurrents"/> left it; null for a source that has none.</summary>
    internal SupplyElement? RectifierOf(int element) =>
        FindSupply(element) is >= 0 and var supply ? _supplies[supply] : null;

    /// <summary>The rectifiers at the operating point.</summary>
    internal ReadOnlySpan<SupplyElement> SuppliesAtPoint()
    {
        FindResponses();
        return _supplies;
    }

    /// <summary>What a column is to a supply, or null when it is nothing to it.</summary>
    internal SupplyQuantity? QuantityOf(int column, int supply)
    {
        var parameters = _plan.Rules.Length;
        if (column >= parameters)
        {
            ref readonly var edit = ref _edits[column - parameters];
            return edit.Kind is EditKind.Series or EditKind.None && edit.Element >= 0
                ? _t.Supplies[supply].OfJoint(edit.Element)
                : null;
        }
        foreach (var (parameter, other, quantity) in _plan.SupplyParameters)
        {
            if (parameter == column && other == supply)
            {
                return quantity;
            }
        }
        return null;
    }

    private SupplyValues Values(int index, double* v, int* inputColumn)
    {
        ref readonly var instance = ref _t.Supplies[index];
        var e = instance.Element;
        var inputs = inputColumn + instance.FirstInput;
        var series = 0.0;
        foreach (var resistor in instance.Supply.Series)
        {
            series +=
                Math.Min(_elementValue[resistor], CompiledCircuit.OpenResistance)
                + _elementJoint[resistor];
        }
        var reservoir = instance.Supply.Reservoir;
        return new()
        {
            ReservoirVolts = instance.Polarity * (v[inputs[0]] - v[inputs[1]]),
            SourceVolts = instance.Polarity * (v[inputs[2]] - v[inputs[3]]),
            Secondary = _sourceScale * _elementValue[e],
            Winding = _supplyWinding[index] + _elementJoint[e],
            Series = series,
            Strength = _elementStrength[e],
            First = _supplyFirst[index],
            Second = _supplySecond[index],
            Farads = _elementValue[reservoir],
            ReservoirOhms = _elementJoint[reservoir],
        };
    }

    private void FindSupplyResponses()
    {
        fixed (int* inputColumn = _links.InputColumn)
        {
            for (var i = 0; i < _supplies.Length; i++)
            {
                // The last evaluation may have been where some meter's load had moved the circuit to.
                var values = Values(i, _m.V, inputColumn);
                _supplies[i].Evaluate(values);
                _supplySlopes[i] = _supplies[i].Differentiate(values);
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DifferentiateBySupplies(SupplyColumn[] columns, Lanes* a, Lanes* slopes)
    {
        foreach (var (column, supply, quantity) in columns)
        {
            slopes[column] += SupplySlope(supply, quantity, a);
        }
    }

    private Lanes SupplySlope(int supply, SupplyQuantity quantity, Lanes* a)
    {
        ref readonly var instance = ref _t.Supplies[supply];
        ref readonly var by = ref _supplySlopes[supply];
        var slope = quantity switch
        {
            SupplyQuantity.Secondary => by.Secondary,
            SupplyQuantity.Winding => by.Winding,
            SupplyQuantity.Series => by.Series,
            SupplyQuantity.Strength => by.Strength,
            SupplyQuantity.First => by.First,
            SupplyQuantity.Second => by.Second,
            SupplyQuantity.Farads => by.Farads,
            _ => by.ReservoirOhms,
        };
        return -instance.Polarity * slope * FlowAdjoint(instance.Flow, a);
    }

    // A joint in the path of the pulses or at the reservoir acts on the supply's current too.
    private Lanes SupplyEditSlope(int element, Lanes* a)
    {
        var sum = Lanes.Zero;
        for (var i = 0; i < _supplies.Length; i++)
        {
            ref readonly var instance = ref _t.Supplies[i];
            if (instance.OfJoint(element) is { } quantity)
            {
                sum += SupplySlope(i, quantity, a);
            }
        }
        return sum;
    }
}
