using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>What predictions are differentiated by: the solver parameters that matter, then the edits of the faults. Immutable.</summary>
internal sealed class PredictorColumns
{
    private const int MostEdits = 8;

    /// <param name="compiled">The circuit.</param>
    /// <param name="withDynamics">Whether capacitors and inductors matter: when a level is among the readings.</param>
    public PredictorColumns(CompiledCircuit compiled, bool withDynamics)
    {
        var count = compiled.Parameters.Length;
        var used = Enumerable
            .Range(0, count)
            .Where(p => withDynamics || compiled.ActsAtDc(p))
            .ToArray();
        All = [.. used, .. Enumerable.Range(count, MostEdits)];
        ColumnOf = new int[count];
        Array.Fill(ColumnOf, -1);
        for (var column = 0; column < used.Length; column++)
        {
            ColumnOf[used[column]] = column;
        }
        Parameters = used.Length;
    }

    /// <summary>The columns as the solver counts them: parameters, then edits.</summary>
    public int[] All { get; }

    /// <summary>Column of a solver parameter, or -1.</summary>
    public int[] ColumnOf { get; }

    /// <summary>Number of parameter columns.</summary>
    public int Parameters { get; }
}
