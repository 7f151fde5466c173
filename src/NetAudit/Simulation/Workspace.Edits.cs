using NetAudit.Circuits;
using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation;

// Edits: what changes the structure. Each that needs an unknown of its own gets a place beyond the circuit's indices, and the ports that
// it moves are linked anew; the compiled pattern stays as it is.
public sealed unsafe partial class Workspace
{
    // Below this a joint or bridge would only add rounding noise to the currents through it.
    private const double LeastJointOhms = 1e-3;

    private readonly Edit[] _edits = new Edit[Topology.MostPlaces];
    private readonly double[] _elementJoint;
    private readonly int[] _nodeColumn;
    private readonly int[] _nodeRow;
    private readonly bool[] _portMoved;
    private int _editCount;
    private int _places;

    private enum EditKind
    {
        /// <summary>Does nothing at DC.</summary>
        None,

        /// <summary>Adds to the resistance of an element, or to its branch equation: no pivot then moves out of the compiled pattern.</summary>
        Series,

        /// <summary>A joint with an unknown voltage on its inner side.</summary>
        Joint,

        /// <summary>A folded voltage source or inductor with a joint: the nodes beyond it float on an unknown.</summary>
        Tree,

        /// <summary>A resistance with an unknown current.</summary>
        Bridge,

        Injection,
    }

    private struct Edit
    {
        public EditKind Kind;
        public int Element;
        public int Place;
        public int A;
        public int B;
        public double Value;
    }

    /// <summary>
    /// Adds a resistance between two nodes: <paramref name="ohms"/> not below 0, 0 is a short. Returns the edit's index, 0 to 7.
    /// </summary>
    /// <exception cref="InvalidOperationException">There are eight edits already.</exception>
    public int Bridge(int nodeA, int nodeB, double ohms)
    {
        var edit = NewEdit(EditKind.Bridge, ohms);
        _edits[edit].A = nodeA;
        _edits[edit].B = nodeB;
        TakePlace(edit);
        return edit;
    }

    /// <summary>
    /// Gives the joint at a pin a resistance: <paramref name="ohms"/> above 0, positive infinity is open. Returns the edit's index, 0 to 7.
    /// </summary>
    /// <exception cref="InvalidOperationException">There are eight edits already, or the pin is broken already.</exception>
    public int Break(int pin, double ohms)
    {
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Kind is not (EditKind.Bridge or EditKind.Injection) && _edits[i].B == pin)
            {
                throw new InvalidOperationException("The joint at this pin is broken already.");
            }
        }
        var owner = _t.PinOwner[pin];
        var element = owner < 0 ? null : Circuit.Circuit.Elements[owner];
        var kind = element switch
        {
            Coupling => EditKind.None,
            Capacitor => _t.IsDynamic ? EditKind.Joint : EditKind.None,
            Resistor or CurrentSource or VoltageSource { Supply: not null } => EditKind.Series,
            VoltageSource or Inductor when _t.BranchOf[owner] < 0 => EditKind.Tree,
            not null when _t.BranchDiagonalOf[owner] >= 0 => EditKind.Series,
            _ => EditKind.Joint,
        };
        var edit = NewEdit(kind, ohms);
        _edits[edit].Element = owner;
        _edits[edit].A = Circuit.Circuit.Pins[pin].Node;
        _edits[edit].B = pin;
        if (kind == EditKind.Tree)
        {
            FloatBeyond(edit);
        }
        else if (kind == EditKind.Joint)
        {
            TakePlace(edit);
            for (var i = 0; i < _t.Ports.Length; i++)
            {
                if (_t.Ports[i].Pin == pin)
                {
                    Move(i, _edits[edit].Place, _edits[edit].Place);
                }
            }
            _links.Resolve(_program, _portMoved);
        }
        return edit;
    }

    /// <summary>
    /// Adds a current source: <paramref name="amps"/> flow from node <paramref name="from"/> through the source to node
    /// <paramref name="to"/>. Returns the edit's index, 0 to 7.
    /// </summary>
    /// <exception cref="InvalidOperationException">There are eight edits already.</exception>
    public int Inject(int from, int to, double amps)
    {
        var edit = NewEdit(EditKind.Injection, amps);
        _edits[edit].A = from;
        _edits[edit].B = to;
        return edit;
    }

    /// <summary>Changes the ohms or amperes of an edit in place.</summary>
    public void SetEdit(int edit, double value)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(edit, _editCount);
        _edits[edit].Value = value;
        _stale = true;
    }

    /// <summary>Ohms or amperes of an edit.</summary>
    public double EditValue(int edit) => _edits[edit].Value;

    private int NewEdit(EditKind kind, double value)
    {
        if (_editCount == Topology.MostEdits)
        {
            throw new InvalidOperationException("A workspace holds at most eight edits.");
        }
        _edits[_editCount] = new Edit
        {
            Kind = kind,
            Element = -1,
            Place = -1,
            Value = value,
        };
        _stale = true;
        _solved = false;
        return _editCount++;
    }

    private void TakePlace(int edit)
    {
        var place = _t.FirstEdit + _places++;
        _edits[edit].Place = place;
        _m.Scale[place] = _edits[edit].Kind == EditKind.Bridge ? AmpereScale : VoltScale;
    }

    private void Move(int port, int column, int row)
    {
        _links.PortColumn[port] = column;
        _links.PortRow[port] = row;
        _portMoved[port] = true;
    }

    private void RemoveEdits()
    {
        if (_editCount == 0)
        {
            return;
        }
        if (_places > 0)
        {
            _links.CopyFrom(_healthyLinks);
            Array.Clear(_portMoved);
            _t.NodeColumn.CopyTo(_nodeColumn);
            _t.NodeRow.CopyTo(_nodeRow);
        }
        _editCount = 0;
        _places = 0;
        _stale = true;
        _solved = false;
    }

    // A folded element with a joint: the nodes beyond it (its child's side of the tree) get an unknown of their own. The two pins of one
    // element are in series and share it.
    private void FloatBeyond(int edit)
    {
        for (var i = 0; i < edit; i++)
        {
            if (_edits[i].Kind == EditKind.Tree && _edits[i].Element == _edits[edit].Element)
            {
                _edits[edit].Kind = EditKind.None;
                _edits[edit].Place = _edits[i].Place;
                return;
            }
        }
        TakePlace(edit);
        var folding = _t.Folding;
        var child = Array.IndexOf(folding.ParentElement, _edits[edit].Element);
        _edits[edit].A = child;
        for (var node = 1; node < _nodeColumn.Length; node++)
        {
            var above = node;
            while (above >= 0 && !IsFloatingRoot(above))
            {
                above = folding.ParentNode[above];
            }
            if (above >= 0)
            {
                var place = _edits[FindFloatingRoot(above)].Place;
                var group = folding.Group[node];
                var isFixed = group < _t.FixedCount;
                if (isFixed && group != folding.Group[above])
                {
                    // Another group behind a source of its own: it keeps its voltage's place and follows the unknown.
                    _links.Alias[_t.UnknownCount + group] = place;
                }
                else
                {
                    _nodeColumn[node] = place;
                }
                _nodeRow[node] = place;
            }
        }
        for (var i = 0; i < _t.Ports.Length; i++)
        {
            var node = _t.Ports[i].Node;
            if (
                node >= 0
                && _nodeRow[node] >= _t.FirstEdit
                && _links.PortRow[i] != _nodeRow[node]
                && !IsBehindJoint(i)
            )
            {
                Move(i, _nodeColumn[node], _nodeRow[node]);
            }
        }
        _links.Resolve(_program, _portMoved);
    }

    private bool IsFloatingRoot(int node) => FindFloatingRoot(node) >= 0;

    private int FindFloatingRoot(int node)
    {
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Kind == EditKind.Tree && _edits[i].A == node && _edits[i].Place >= 0)
            {
                return i;
            }
        }
        return -1;
    }

    private bool IsBehindJoint(int port)
    {
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Kind == EditKind.Joint && _edits[i].B == _t.Ports[port].Pin)
            {
                return true;
            }
        }
        return false;
    }

    private static double JointOhms(double ohms) =>
        ohms < CompiledCircuit.OpenResistance
            ? Math.Max(ohms, LeastJointOhms)
            : CompiledCircuit.OpenResistance;

    // Resistance of all joints in series with an element.
    private double SeriesOhms(int element)
    {
        var sum = 0.0;
        for (var i = 0; i < _editCount; i++)
        {
            if (_edits[i].Element == element && _edits[i].Kind != EditKind.Joint)
            {
                sum += JointOhms(_edits[i].Value);
            }
        }
        return sum;
    }
}
