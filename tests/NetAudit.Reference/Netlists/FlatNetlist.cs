using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Circuits;

namespace NetAudit.Reference.Netlists;

/// <summary>
/// Writes a flat circuit, with faults put in as edits, as text for ngspice. Node names are <c>n</c> and the node's index
/// (chassis is 0), element names a letter and the element's index, so that nothing depends on how the netlist spelled them.
/// </summary>
public sealed class FlatNetlist
{
    /// <summary>What an open joint still conducts, in ohms; the same figure as in the program under test.</summary>
    public const double OpenOhms = 1e10;

    private readonly Circuit circuit;
    private readonly EditSet edits;
    private readonly List<string> cards = [];
    private readonly HashSet<int> sensed;

    private FlatNetlist(Circuit circuit, EditSet edits)
    {
        this.circuit = circuit;
        this.edits = edits;
        sensed = SensedElements(circuit);
    }

    /// <summary>The cards, from the title to <c>.end</c>.</summary>
    /// <param name="circuit">The healthy circuit.</param>
    /// <param name="changes">Faults and deviations.</param>
    /// <param name="meters">Where meters sit: each becomes a resistor <c>rmeter0</c>, <c>rmeter1</c>, ... of 1e15 ohms, to be altered.</param>
    public static ImmutableArray<string> Write(
        Circuit circuit,
        IEnumerable<CircuitEdit>? changes = null,
        IEnumerable<(int Positive, int Negative)>? meters = null
    )
    {
        var writer = new FlatNetlist(circuit, EditSet.From(changes ?? []));
        writer.cards.Add("* flat circuit");
        writer.cards.Add(NgspiceOptions.Card);
        writer.cards.Add(
            string.Create(CultureInfo.InvariantCulture, $".temp {circuit.Temperature:R}")
        );
        for (var i = 0; i < circuit.Elements.Length; i++)
        {
            writer.Add(i);
        }
        writer.AddEdits();
        var number = 0;
        foreach (var (positive, negative) in meters ?? [])
        {
            writer.cards.Add($"rmeter{number++} {Node(positive)} {Node(negative)} 1e15");
        }
        writer.cards.Add(".end");
        return [.. writer.cards];
    }

    /// <summary>Name of a node in the text.</summary>
    public static string Node(int index) =>
        index == 0 ? "0" : string.Create(CultureInfo.InvariantCulture, $"n{index}");

    /// <summary>Name of the voltage source or inductor that carries an element's current, for <c>i(...)</c>.</summary>
    internal string CurrentProbe(int element) =>
        circuit.Elements[element] is VoltageSource ? ElementName(element) : $"vsense{element}";

    /// <summary>Name of an element in the text.</summary>
    public string ElementName(int index)
    {
        var letter = circuit.Elements[index] switch
        {
            Resistor => 'r',
            Capacitor => 'c',
            Inductor => 'l',
            Coupling => 'k',
            VoltageSource => 'v',
            CurrentSource => 'i',
            VoltageControlledSource { Kind: OutputKind.Voltage } => 'e',
            VoltageControlledSource => 'g',
            CurrentControlledSource { Kind: OutputKind.Current } => 'f',
            CurrentControlledSource => 'h',
            BehaviouralSource => 'b',
            Diode => 'd',
            BipolarTransistor => 'q',
            JunctionFet => 'j',
            MosFet => 'm',
            _ => throw new NotSupportedException(circuit.Elements[index].GetType().Name),
        };
        return string.Create(CultureInfo.InvariantCulture, $"{letter}{index}");
    }

    internal static string Text(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    internal string End(Terminal terminal) =>
        terminal.Pin >= 0 && edits.Joints.ContainsKey(terminal.Pin)
            ? $"p{terminal.Pin}"
            : Node(terminal.Node);

    private static HashSet<int> SensedElements(Circuit circuit)
    {
        var found = new HashSet<int>();
        foreach (var element in circuit.Elements)
        {
            switch (element)
            {
                case CurrentControlledSource source:
                    found.Add(source.Control);
                    break;
                case BehaviouralSource source:
                    found.UnionWith(source.ControlCurrents);
                    break;
            }
        }
        found.RemoveWhere(i => circuit.Elements[i] is VoltageSource);
        return found;
    }

    private void Add(int index)
    {
        var element = circuit.Elements[index];
        var ends = element.Terminals.Select(End).ToArray();
        if (sensed.Contains(index))
        {
            // Only a voltage source's current can control another source: put one of zero volts in series.
            cards.Add($"vsense{index} sense{index} {ends[1]} 0");
            ends[1] = $"sense{index}";
        }
        var head = $"{ElementName(index)} {string.Join(' ', ends)}";
        var value = edits.Values.TryGetValue(index, out var set) ? set : (double?)null;
        switch (element)
        {
            case Resistor r:
                var ohms = value ?? r.Ohms;
                cards.Add($"{head} {Text(double.IsInfinity(ohms) ? OpenOhms : ohms)}");
                break;
            case Capacitor c:
                cards.Add($"{head} {Text(value ?? c.Farads)}");
                break;
            case Inductor l:
                cards.Add($"{head} {Text(value ?? l.Henries)}");
                break;
            case Coupling k:
                cards.Add(
                    $"{ElementName(index)} {ElementName(k.First)} {ElementName(k.Second)} {Text(k.Coefficient)}"
                );
                break;
            case VoltageSource v:
                cards.Add($"{head} DC {Text(value ?? v.Stimulus.Dc)}");
                break;
            case CurrentSource i:
                cards.Add($"{head} DC {Text(value ?? i.Stimulus.Dc)}");
                break;
            case VoltageControlledSource s:
                AddLinear(index, s, head, value ?? s.Gain);
                break;
            case CurrentControlledSource s:
                cards.Add(
                    $"{head} {CurrentProbe(s.Control)} {Text((value ?? s.Gain) * edits.Strength(index))}"
                );
                break;
            case BehaviouralSource b:
                cards.Add($"{head} {new LawText(this, edits, b, edits.Strength(index)).Card()}");
                break;
            default:
                cards.AddRange(SemiconductorText.Cards(index, element, head, edits));
                break;
        }
    }

    private void AddLinear(int index, VoltageControlledSource source, string head, double gain)
    {
        var (positive, negative) = (source.Controls[0], source.Controls[1]);
        var offset = edits.Offset(positive.Pin) - edits.Offset(negative.Pin);
        var scaled = gain * edits.Strength(index);
        if (offset == 0)
        {
            cards.Add($"{head} {End(positive)} {End(negative)} {Text(scaled)}");
            return;
        }
        var kind = source.Kind == OutputKind.Voltage ? 'V' : 'I';
        var shape =
            $"{kind}={Text(scaled)}*(V({End(positive)})-V({End(negative)})+({Text(offset)}))";
        cards.Add($"b{index} {string.Join(' ', source.Terminals.Select(End))} {shape}");
    }

    private void AddEdits()
    {
        foreach (var (pin, ohms) in edits.Joints)
        {
            var bounded = double.IsInfinity(ohms) ? OpenOhms : Math.Max(ohms, 1e-3);
            cards.Add($"rjoint{pin} p{pin} {Node(circuit.Pins[pin].Node)} {Text(bounded)}");
        }
        var number = 0;
        foreach (var bridge in edits.Bridges)
        {
            cards.Add(
                $"rbridge{number++} {Node(bridge.NodeA)} {Node(bridge.NodeB)} {Text(Math.Max(bridge.Ohms, 1e-3))}"
            );
        }
        foreach (var current in edits.Currents)
        {
            cards.Add(
                $"iadded{number++} {Node(current.From)} {Node(current.To)} DC {Text(current.Amps)}"
            );
        }
    }
}
