using NetAudit.Circuits;
using NetAudit.Reference.Netlists;
using NetAudit.Simulation;

namespace NetAudit.Tests.Reference;

/// <summary>Makes the edits of the reference netlist on our own solver's workspace.</summary>
internal static class WorkspaceEdits
{
    public static void Apply(
        this Workspace workspace,
        CompiledCircuit circuit,
        IEnumerable<CircuitEdit> edits
    )
    {
        foreach (var edit in edits)
        {
            switch (edit)
            {
                case SetValue e:
                    workspace.Set(circuit.FindParameter(ParameterKind.Value, e.Element), e.Value);
                    break;
                case SetStrength e:
                    Multiply(ParameterKind.Strength, e.Element, e.Factor);
                    break;
                case SetCurrentGain e:
                    Multiply(ParameterKind.Gain, e.Element, e.Factor);
                    break;
                case SetOffset e:
                    var offset = circuit.FindParameter(ParameterKind.Offset, e.Pin);
                    workspace.Set(offset, workspace.Get(offset) + e.Volts);
                    break;
                case SetBreakdown e:
                    var breakdown = ((Diode)circuit.Circuit.Elements[e.Element]).Model.Get("bv", 0);
                    workspace.Set(
                        circuit.FindParameter(ParameterKind.Threshold, e.Element),
                        (e.Factor - 1) * Math.Abs(breakdown)
                    );
                    break;
                case SetJoint e:
                    workspace.Break(e.Pin, e.Ohms);
                    break;
                case AddBridge e:
                    workspace.Bridge(e.NodeA, e.NodeB, e.Ohms);
                    break;
                case AddCurrent e:
                    workspace.Inject(e.From, e.To, e.Amps);
                    break;
            }
        }
        void Multiply(ParameterKind kind, int element, double factor)
        {
            var parameter = circuit.FindParameter(kind, element);
            workspace.Set(parameter, workspace.Get(parameter) * factor);
        }
    }
}
