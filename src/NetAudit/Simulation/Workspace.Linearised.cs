using System.Runtime.CompilerServices;
using NetAudit.Simulation.Compilation;
using NetAudit.Simulation.Devices;
using NetAudit.Simulation.Sparse;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

// What the linearised circuit is built from.
public sealed unsafe partial class Workspace
{
    /// <summary>Operating points found so far: what was derived from one holds until this changes.</summary>
    internal int SolveCount { get; private set; }

    internal Topology Structure => _t;

    internal EliminationProgram Program => _program;

    internal Links Links => _links;

    internal SolverMemory Memory => _m;

    /// <summary>Unknowns of edits in use.</summary>
    internal int Places => _places;

    /// <summary>Index of each node's voltage, edits considered.</summary>
    internal int[] NodeColumn => _nodeColumn;

    /// <summary>Equation that a current into each node enters, edits considered.</summary>
    internal int[] NodeRow => _nodeRow;

    internal double[] ElementValue => _elementValue;

    internal double[] ElementStrength => _elementStrength;

    internal double[] ElementJoint => _elementJoint;

    internal double[] PinOffset => _pinOffset;

    /// <summary>Whether a folded source still joins its nodes directly, without a joint of its own.</summary>
    internal bool IsJoined(int element) => _places == 0 || FindTree(element) < 0;

    /// <summary>Place of a folded source among those that <see cref="FoldedResponse"/> knows.</summary>
    internal int FoldedIndex(int element) => _plan.FoldedSources.IndexOf(element);

    internal FoldedReach Reach(int source) => _plan.Reaches[source];

    /// <summary>Sees to it that flows and partial derivatives are those of the operating point.</summary>
    /// <exception cref="InvalidOperationException">There is none.</exception>
    internal void RequireLinearisation()
    {
        RequireSolution();
        ReturnToSolution();
    }

    /// <summary>How a folded source moves fixed nodes, and with them the equations.</summary>
    internal void FoldedResponse(
        int source,
        out double[] direction,
        out ReadOnlySpan<(int Row, double Value)> entries
    )
    {
        direction = _foldedDirections[source];
        entries = _foldedEntries[source].AsSpan(0, _foldedEntryCount[source]);
    }

    /// <summary>Works out <see cref="FoldedResponse"/> anew.</summary>
    internal void RefreshFoldedResponses() => FindFoldedResponses();

    /// <summary>
    /// Derivatives of eight quantities that depend on the operating point, given how each changes per volt at every index
    /// (<paramref name="gradient"/>, fixed groups included; overwritten): d(quantity)/d(value) by column.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    internal void DifferentiateThroughPoint(Lanes* gradient, ColumnPlan plan, Lanes* slopes)
    {
        PrepareRead();
        var right = RightLanes;
        new Span<Lanes>(right, _t.IndexCount).Clear();
        for (var i = 0; i < _t.FirstEdit + _places; i++)
        {
            var at = _links.Alias[i];
            if (at < _t.UnknownCount || at >= _t.FirstEdit)
            {
                right[at] += gradient[i];
            }
        }
        SolveTransposed(right, LoadedLanes);
        new Span<Lanes>(ShiftLanes, _t.IndexCount).Clear();
        Differentiate([], plan, LoadedLanes, ShiftLanes, slopes, gradient);
    }

    internal ColumnPlan ColumnsFor(ReadOnlySpan<int> columns) => PlanFor(columns);

    /// <summary>A semiconductor's frame with its inputs at the operating point.</summary>
    internal DeviceFrame FrameAtPoint(SemiconductorInstance instance)
    {
        fixed (int* inputColumn = _links.InputColumn)
        {
            return Frame(instance, _m.V, inputColumn);
        }
    }

    /// <summary>Copies the partial derivatives of another workspace on the same circuit.</summary>
    internal void CopyPartials(Workspace other) =>
        Copy(other._m.Partials, _m.Partials, _t.Partials.Length);

    /// <summary>How the linear circuit depends on an edit's value.</summary>
    internal EditShape ShapeOf(int edit)
    {
        ref var e = ref _edits[edit];
        switch (e.Kind)
        {
            case EditKind.Bridge:
                return new(EditRule.Branch, e.Place);
            case EditKind.Joint:
            case EditKind.Tree:
            case EditKind.None when e.Place >= 0:
                // The second joint of a folded element shares the first one's place.
                ref var joint = ref e.Kind == EditKind.None
                    ? ref _edits[FindPlace(e.Place)]
                    : ref e;
                var (column, row, _) = OuterSide(joint);
                var shape = new EditShape(EditRule.Joint, joint.Place)
                {
                    Column = column,
                    Row = row,
                    Siemens = JointSiemens(joint),
                };
                return joint.Kind == EditKind.Tree
                    ? shape with
                    {
                        Source = joint.Element,
                        SourceSign =
                            Circuit.Circuit.Elements[joint.Element].Terminals[0].Node == joint.A
                                ? 1
                                : -1,
                    }
                    : shape;
            case EditKind.Series when _t.BranchOf[e.Element] is >= 0 and var branch:
                return new(EditRule.Branch, branch);
            case EditKind.Series when _t.ConductanceOf[e.Element] is >= 0 and var conductance:
                return new(EditRule.Conductance, conductance);
            default:
                return new(EditRule.Idle, -1);
        }
    }
}
