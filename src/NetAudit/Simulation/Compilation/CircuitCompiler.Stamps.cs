using NetAudit.Circuits;

namespace NetAudit.Simulation.Compilation;

// Ports and stamps of the linear elements, with the parameters that scale them.
internal sealed partial class CircuitCompiler
{
    private void List(Element element, int e)
    {
        switch (element)
        {
            case Resistor resistor:
                _parameters.Add(new(ParameterKind.Value, e, resistor.Ohms));
                _conductances.Add(
                    new(AddPort(resistor.Terminals[0]), AddPort(resistor.Terminals[1]), e, 0)
                );
                break;
            case Capacitor capacitor:
                _parameters.Add(new(ParameterKind.Value, e, capacitor.Farads));
                if (_isDynamic)
                {
                    _capacitances.Add(
                        new(AddPort(capacitor.Terminals[0]), AddPort(capacitor.Terminals[1]), e)
                    );
                }
                break;
            case Inductor inductor:
                _parameters.Add(new(ParameterKind.Value, e, inductor.Henries));
                if (_branchOf[e] >= 0)
                {
                    var equation = ListBranch(element, e).Equation;
                    if (_isDynamic)
                    {
                        _inductances.Add(new(equation, e));
                    }
                }
                break;
            case VoltageSource { Supply: { } supply } source:
                ListSupply(source, supply, e);
                break;
            case VoltageSource source:
                _parameters.Add(new(ParameterKind.Value, e, source.Stimulus.Dc));
                if (_branchOf[e] >= 0)
                {
                    _constants.Add(new(ListBranch(element, e).Equation, e, -1));
                }
                break;
            case CurrentSource source:
                _parameters.Add(new(ParameterKind.Value, e, source.Stimulus.Dc));
                _constants.Add(new(AddPort(element.Terminals[0]), e, 1));
                _constants.Add(new(AddPort(element.Terminals[1]), e, -1));
                break;
            case VoltageControlledSource source:
                _parameters.Add(new(ParameterKind.Value, e, source.Gain));
                List(source, e);
                break;
            case CurrentControlledSource source:
                _parameters.Add(new(ParameterKind.Value, e, source.Gain));
                List(source, e);
                break;
            case Diode or BipolarTransistor or JunctionFet or MosFet:
                ListSemiconductor(element, e);
                break;
            default:
                // Couplings do nothing at DC.
                break;
        }
    }

    // Ports and stamps of an element with a voltage between its terminals: its current, if it is an unknown, leaves the first node and
    // enters the second; the equation states the voltage.
    private (int Positive, int Negative, int Equation) ListBranch(Element element, int e)
    {
        var positive = AddPort(element.Terminals[0]);
        var negative = AddPort(element.Terminals[1]);
        int equation;
        if (_branchOf[e] >= 0)
        {
            equation = AddBranchPort(_branchOf[e]);
            Stamp(positive, equation, 1);
            Stamp(negative, equation, -1);
            _branchDiagonalOf[e] = _linear.Count;
            _linear.Add(new(equation, equation, -1, LoopResistance(element), 0, true));
        }
        else
        {
            var unknown = _nodeColumn[_equationOf[e]];
            equation = AddPort(-1, -1, unknown, unknown);
        }
        Stamp(equation, positive, 1);
        Stamp(equation, negative, -1);
        return (positive, negative, equation);

        void Stamp(int row, int column, double value) =>
            _linear.Add(new(row, column, -1, value, 0, false));
    }

    // Between nodes whose voltages are fixed against each other a current is undetermined: a micro-ohm settles it. So it does for
    // inductors side by side, as long as their currents do not change.
    private double LoopResistance(Element element)
    {
        var a = _folding.Group[element.Terminals[0].Node];
        var b = _folding.Group[element.Terminals[1].Node];
        return _isDynamic && element is Inductor || a == b || (a < FixedCount && b < FixedCount)
            ? -1e-6
            : 0;
    }

    private void List(VoltageControlledSource source, int e)
    {
        var plus = AddControlPort(source.Controls[0]);
        var minus = AddControlPort(source.Controls[1]);
        if (source.Kind == OutputKind.Voltage)
        {
            var equation = ListBranch(source, e).Equation;
            Stamp(equation, plus, -1);
            Stamp(equation, minus, 1);
            return;
        }
        AddStrength(source, e);
        var from = AddPort(source.Terminals[0]);
        var to = AddPort(source.Terminals[1]);
        Stamp(from, plus, 1);
        Stamp(from, minus, -1);
        Stamp(to, plus, -1);
        Stamp(to, minus, 1);

        void Stamp(int row, int column, double sign)
        {
            if (_ports[column].Pin >= 0)
            {
                _controlStamps.Add(_linear.Count);
            }
            _linear.Add(new(row, column, e, 0, sign, false));
        }
    }

    private void List(CurrentControlledSource source, int e)
    {
        var control = AddBranchPort(_branchOf[source.Control]);
        if (source.Kind == OutputKind.Voltage)
        {
            _linear.Add(new(ListBranch(source, e).Equation, control, e, 0, -1, false));
            return;
        }
        AddStrength(source, e);
        _linear.Add(new(AddPort(source.Terminals[0]), control, e, 0, 1, false));
        _linear.Add(new(AddPort(source.Terminals[1]), control, e, 0, -1, false));
    }
}
