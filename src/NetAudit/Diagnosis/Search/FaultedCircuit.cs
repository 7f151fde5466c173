using NetAudit.Diagnosis.Catalogue;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>What one member of a set does to a column of <see cref="Predictor.Raw"/> in one scene.</summary>
/// <param name="Member">The member.</param>
/// <param name="Column">The column.</param>
/// <param name="Size">d(parameter or edit)/d(log of the fault's value).</param>
internal readonly record struct MemberEffect(int Member, int Column, double Size);

/// <summary>Puts fault sets into a predictor's workspaces and solves. Not thread-safe.</summary>
internal sealed class FaultedCircuit
{
    private readonly List<MemberEffect>[] _effects;

    public FaultedCircuit(Predictor predictor)
    {
        Predictor = predictor;
        _effects = new List<MemberEffect>[predictor.Scenes.Length];
        for (var i = 0; i < _effects.Length; i++)
        {
            _effects[i] = [];
        }
    }

    /// <summary>The predictor.</summary>
    public Predictor Predictor { get; }

    /// <summary>Edits that the last set made, the same number in every scene.</summary>
    public int Edits { get; private set; }

    /// <summary>What the members of the last set do in a scene.</summary>
    public IReadOnlyList<MemberEffect> EffectsIn(int scene) => _effects[scene];

    /// <summary>Applies the set and solves.</summary>
    /// <param name="set">The set.</param>
    /// <param name="logValues">Logarithms of its members' values.</param>
    /// <param name="amounts">Spread amounts; empty for nominal.</param>
    /// <param name="start">Node voltages to start from, scene by scene.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>True when the circuit settled in every scene.</returns>
    public bool Solve(
        FaultSet set,
        ReadOnlySpan<double> logValues,
        ReadOnlySpan<double> amounts,
        ReadOnlySpan<double> start,
        CancellationToken cancellationToken
    )
    {
        for (var scene = 0; scene < _effects.Length; scene++)
        {
            Apply(scene, set, logValues, amounts);
        }
        return Predictor.Solve(start, cancellationToken);
    }

    private void Apply(
        int scene,
        FaultSet set,
        ReadOnlySpan<double> logValues,
        ReadOnlySpan<double> amounts
    )
    {
        var predictor = Predictor.Scenes[scene];
        predictor.Restore(amounts);
        Edits = 0;
        _effects[scene].Clear();
        for (var member = 0; member < set.Members.Length; member++)
        {
            var fault = set.Members[member];
            var value = Math.Exp(logValues[member]);
            var acts = fault.Inside is not { } tube || !predictor.Scene.Absent.Contains(tube);
            foreach (var alteration in fault.Alterations)
            {
                var size = alteration.Coefficient * value;
                if (alteration.Kind != AlterationKind.Parameter)
                {
                    size = Edit(predictor, alteration, acts, size);
                    Note(scene, acts, member, Predictor.ParameterColumns + Edits, size);
                    Edits++;
                }
                else if (acts)
                {
                    size = predictor.Override(alteration.A, size);
                    Note(scene, acts, member, Predictor.ColumnOf(alteration.A), size);
                }
            }
        }
        predictor.AddLinks();
    }

    private void Note(int scene, bool acts, int member, int column, double size)
    {
        if (acts && column >= 0)
        {
            _effects[scene].Add(new(member, column, size));
        }
    }

    /// <summary>Makes an edit; what does not act in this scene keeps its place by a current of nothing.</summary>
    private static double Edit(
        ScenePredictor predictor,
        Alteration alteration,
        bool acts,
        double size
    )
    {
        if (!acts || (alteration.Kind == AlterationKind.Inject && predictor.Scene.IsOff))
        {
            predictor.Workspace.Inject(0, 0, 0);
            return 0;
        }
        alteration.ApplyTo(predictor.Workspace, size);
        return size;
    }
}
