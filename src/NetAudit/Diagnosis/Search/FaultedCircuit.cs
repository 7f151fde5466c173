using NetAudit.Diagnosis.Catalogue;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>Puts fault sets into a predictor's workspace and solves. Not thread-safe.</summary>
internal sealed class FaultedCircuit(Predictor predictor)
{
    private readonly List<(int Member, int Column, double Size)> _effects = [];

    /// <summary>The predictor.</summary>
    public Predictor Predictor => predictor;

    /// <summary>Edits that the last set made.</summary>
    public int Edits { get; private set; }

    /// <summary>
    /// Which columns of <see cref="Predictor.Raw"/> each member of the set moves, and d(parameter)/d(log of the fault's value).
    /// </summary>
    public IReadOnlyList<(int Member, int Column, double Size)> Effects => _effects;

    /// <summary>Applies the set and solves.</summary>
    /// <param name="set">The set.</param>
    /// <param name="logValues">Logarithms of its members' values.</param>
    /// <param name="amounts">Spread amounts; empty for nominal.</param>
    /// <param name="startVolts">Node volts to start from.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>True when the circuit settled.</returns>
    public bool Solve(
        FaultSet set,
        ReadOnlySpan<double> logValues,
        ReadOnlySpan<double> amounts,
        ReadOnlySpan<double> startVolts,
        CancellationToken cancellationToken
    )
    {
        Apply(set, logValues, amounts);
        return predictor.Workspace.Solve(startVolts, cancellationToken).Converged;
    }

    private void Apply(FaultSet set, ReadOnlySpan<double> logValues, ReadOnlySpan<double> amounts)
    {
        predictor.Restore(amounts);
        var workspace = predictor.Workspace;
        Edits = 0;
        _effects.Clear();
        for (var member = 0; member < set.Members.Length; member++)
        {
            var value = Math.Exp(logValues[member]);
            foreach (var alteration in set.Members[member].Alterations)
            {
                var size = alteration.Coefficient * value;
                switch (alteration.Kind)
                {
                    case AlterationKind.Parameter:
                        predictor.Override(alteration.A, size);
                        _effects.Add((member, predictor.ColumnOf(alteration.A), size));
                        break;
                    case AlterationKind.Bridge:
                        AddEdit(member, workspace.Bridge(alteration.A, alteration.B, size), size);
                        break;
                    case AlterationKind.Break:
                        AddEdit(member, workspace.Break(alteration.A, size), size);
                        break;
                    case AlterationKind.Inject:
                        AddEdit(member, workspace.Inject(alteration.A, alteration.B, size), size);
                        break;
                }
            }
        }
    }

    private void AddEdit(int member, int edit, double size)
    {
        Edits++;
        _effects.Add((member, predictor.ParameterColumns + edit, size));
    }
}
