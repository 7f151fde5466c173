using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>
/// One tube section taken out of its circuit, with sources at its electrodes: what plate current do these voltages give? Voltages
/// against the cathode.
/// </summary>
internal sealed class SectionBench
{
    private readonly Workspace _workspace;
    private readonly int _plate;
    private readonly int _grid;
    private readonly int _screen;
    private readonly int _plateSource;

    private SectionBench(CompiledCircuit compiled, int plate, int grid, int screen)
    {
        _workspace = new Workspace(compiled);
        int Parameter(int element) => compiled.FindParameter(ParameterKind.Value, element);
        (_plate, _grid, _screen) = (Parameter(plate), Parameter(grid), Parameter(screen));
        _plateSource = plate;
    }

    /// <summary>The section on its bench; null when it holds an element that cannot be taken out.</summary>
    public static SectionBench? Of(Circuit circuit, TubeSection section)
    {
        var nodes = new List<Node> { new(0, "0", false) };
        int NewNode(string name)
        {
            nodes.Add(new Node(nodes.Count, name, false));
            return nodes.Count - 1;
        }
        var (plate, grid, screen) = (NewNode("plate"), NewNode("grid"), NewNode("screen"));
        var inner = new Dictionary<int, int>();
        Terminal Map(Terminal terminal)
        {
            if (terminal.Pin < 0)
            {
                if (!inner.TryGetValue(terminal.Node, out var known))
                {
                    inner[terminal.Node] = known = NewNode($"inner{inner.Count}");
                }
                return new(known, -1);
            }
            // The cathode is the bench's chassis, and so is what has no electrode of its own here (a heater).
            return new(
                terminal.Pin == section.Plate ? plate
                    : terminal.Pin == section.Grid ? grid
                    : terminal.Pin == section.Screen ? screen
                    : 0,
                -1
            );
        }
        var own = Enumerable
            .Range(0, circuit.Elements.Length)
            .Where(i => circuit.Elements[i].Device == section.Instance)
            .ToArray();
        var places = own.Select((element, i) => (element, i))
            .ToDictionary(pair => pair.element, pair => pair.i);
        var elements = ImmutableArray.CreateBuilder<Element>();
        foreach (var i in own)
        {
            if (Moved(circuit.Elements[i], Map, places) is not { } moved)
            {
                return null;
            }
            elements.Add(moved);
        }
        int Source(string name, int node)
        {
            elements.Add(
                new VoltageSource(name, [new(node, -1), new(0, -1)], new Stimulus(0), default)
            );
            return elements.Count - 1;
        }
        var sources = (Source("VP", plate), Source("VG", grid), Source("VS", screen));
        var bench = circuit with
        {
            Nodes = [.. nodes],
            Elements = elements.ToImmutable(),
            Pins = [],
            Instances = [],
            Hints = [],
            Parameters = [],
        };
        return new(CompiledCircuit.Compile(bench), sources.Item1, sources.Item2, sources.Item3);
    }

    /// <summary>Plate current in amperes; NaN when there is no operating point.</summary>
    public double Amps(double plateVolts, double gridVolts, double screenVolts)
    {
        _workspace.Set(_plate, plateVolts);
        _workspace.Set(_grid, gridVolts);
        _workspace.Set(_screen, screenVolts);
        return _workspace.Solve(_workspace.Volts).Converged
            // What the source gives comes out of its first terminal, against the sign of its current.
            ? -_workspace.BranchAmps(_plateSource)
            : double.NaN;
    }

    private static Element? Moved(
        Element element,
        Func<Terminal, Terminal> map,
        Dictionary<int, int> places
    )
    {
        var moved = element with { Terminals = [.. element.Terminals.Select(map)], Device = null };
        return moved switch
        {
            BehaviouralSource law when law.ControlCurrents.All(places.ContainsKey) => law with
            {
                ControlVoltages =
                [
                    .. law.ControlVoltages.Select(pair => (map(pair.Positive), map(pair.Negative))),
                ],
                ControlCurrents = [.. law.ControlCurrents.Select(i => places[i])],
            },
            VoltageControlledSource source => source with
            {
                Controls = [.. source.Controls.Select(map)],
            },
            CurrentControlledSource source when places.TryGetValue(source.Control, out var at) =>
                source with
                {
                    Control = at,
                },
            Resistor or Capacitor or Inductor or Diode or VoltageSource or CurrentSource => moved,
            _ => null,
        };
    }
}
