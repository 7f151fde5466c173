using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>What one reading of a netlist gathers: the flat circuit in the making, and what is wrong.</summary>
internal sealed class ElaborationState(
    DiagnosticBag diagnostics,
    NetlistLibrary library,
    CancellationToken cancellationToken
)
{
    /// <summary>Elements a circuit may have: some hundred times an amplifier.</summary>
    public const int MostElements = 20_000;

    private readonly Dictionary<string, int> nodeIndex = new(StringComparer.OrdinalIgnoreCase)
    {
        ["0"] = 0,
    };

    /// <summary>What is wrong so far.</summary>
    public DiagnosticBag Diagnostics { get; } = diagnostics;

    /// <summary>Where includes are found.</summary>
    public NetlistLibrary Library { get; } = library;

    /// <summary>Stops long work.</summary>
    public CancellationToken CancellationToken { get; } = cancellationToken;

    /// <summary>Nodes so far; chassis is there from the start.</summary>
    public List<Node> Nodes { get; } = [new Node(0, "0", false)];

    /// <summary>How many element ends are at each node, by index: a node that is only sensed has none.</summary>
    public List<int> Ends { get; } = [0];

    /// <summary>Elements so far.</summary>
    public List<Element> Elements { get; } = [];

    /// <summary>Pins so far.</summary>
    public List<Pin> Pins { get; } = [];

    /// <summary>Instances so far.</summary>
    public List<Instance> Instances { get; } = [];

    /// <summary>Element index by full name.</summary>
    public Dictionary<string, int> ElementIndex { get; } = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Names of <c>.global</c> nodes.</summary>
    public HashSet<string> Globals { get; } = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Values that replace those of <c>.param</c> cards at the top.</summary>
    public Dictionary<string, double> Overrides { get; } = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Which of <see cref="Overrides"/> replaced something.</summary>
    public HashSet<string> UsedOverrides { get; } = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Full names of elements that exist but could not be read: a reference to one is not an error of its own.</summary>
    public HashSet<string> Unreadable { get; } = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Work that waits until all elements are known: references to elements further down, node hints.</summary>
    public List<Action> Deferred { get; } = [];

    /// <summary>Degrees Celsius.</summary>
    public double Temperature { get; set; } = 27.0;

    /// <summary>True once a value such as 4k7 was noted.</summary>
    public bool HasNotedLetterCode { get; set; }

    /// <summary>True when the element limit was reached: nothing more is added.</summary>
    public bool IsFull { get; private set; }

    /// <summary>Start values of nodes.</summary>
    public List<(int Node, double Volts)> Hints { get; } = [];

    /// <summary>Names of nodes in another case than at first.</summary>
    public List<OtherSpelling> Spellings { get; } = [];

    /// <summary>Keeps a spelling unless it is known.</summary>
    public void NoteSpelling(int node, string spelling, SourceSpan where)
    {
        if (!Spellings.Exists(known => known.Node == node && known.Spelling == spelling))
        {
            Spellings.Add(new OtherSpelling(node, spelling, where));
        }
    }

    /// <summary>Reports something about a stretch of a card.</summary>
    public void Report(Severity severity, ValueText place, string message, string? mend = null) =>
        Diagnostics.Add(severity, place.Source, place.Start, place.End, message, mend);

    /// <summary>Reports something about a field.</summary>
    public void Report(
        Severity severity,
        Card card,
        Field field,
        string message,
        string? mend = null
    ) => Diagnostics.Add(severity, card.Text, field.Start, field.End, message, mend);

    /// <summary>The node that a name means in a scope; made when new.</summary>
    public int Node(Scope scope, string name)
    {
        if (scope.Nodes.TryGetValue(name, out var known))
        {
            return known;
        }
        if (name is "0" || name.Equals("gnd", StringComparison.OrdinalIgnoreCase))
        {
            return 0;
        }
        var isGlobal = scope.Path.Length == 0 || Globals.Contains(name);
        var fullName = isGlobal ? name : scope.Path + name;
        if (!nodeIndex.TryGetValue(fullName, out var index))
        {
            index = Nodes.Count;
            Nodes.Add(new Node(index, fullName, !isGlobal && scope.Device is not null));
            Ends.Add(0);
            nodeIndex[fullName] = index;
        }
        scope.Nodes[name] = index;
        return index;
    }

    /// <summary>The node that a name means in a scope, or by its full name, or -1 when there is none.</summary>
    public int FindNode(Scope scope, string name)
    {
        if (name is "0" || name.Equals("gnd", StringComparison.OrdinalIgnoreCase))
        {
            return 0;
        }
        return scope.Nodes.TryGetValue(name, out var local) ? local
            : nodeIndex.TryGetValue(scope.Path + name, out var inner) ? inner
            : (name.Contains('.', StringComparison.Ordinal) || Globals.Contains(name))
            && nodeIndex.TryGetValue(name, out var full)
                ? full
            : -1;
    }

    /// <summary>Index of the element that a name means in a scope, or by its full name, or -1.</summary>
    public int FindElement(Scope scope, string name) =>
        ElementIndex.TryGetValue(scope.Path + name, out var local) ? local
        : ElementIndex.TryGetValue(name, out var full) ? full
        : -1;

    /// <summary>Adds an element of which the name was reserved.</summary>
    public int Add(Element element)
    {
        foreach (var terminal in element.Terminals)
        {
            Ends[terminal.Node]++;
        }
        ElementIndex[element.Name] = Elements.Count;
        Elements.Add(element);
        return Elements.Count - 1;
    }

    /// <summary>Says once that the circuit is too large.</summary>
    public bool CheckSize(Card card)
    {
        if (Elements.Count + Instances.Count < MostElements)
        {
            return true;
        }
        if (!IsFull)
        {
            IsFull = true;
            Report(
                Severity.Error,
                card,
                card.Fields[0],
                $"the circuit has more than {MostElements} elements and subcircuit instances"
            );
        }
        return false;
    }
}
