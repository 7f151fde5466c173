namespace NetAudit.Simulation.Transients;

/// <summary>A plain run from time 0 with the functions on the sources' cards, recorded step by step.</summary>
internal static class TransientAnalysis
{
    // What stands for rise times that a card leaves out, as a share of the run.
    private const double OutputShare = 1e-3;

    /// <param name="workspace">On the dynamic topology, with the parameters and edits in force.</param>
    /// <param name="stop">Seconds.</param>
    /// <param name="options">Accuracy; its longest step also holds.</param>
    /// <param name="atRest">Begin with everything discharged instead of at the operating point.</param>
    /// <param name="elements">Elements whose current is recorded.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static (TransientOutcome Outcome, Recording Recording) Run(
        Workspace workspace,
        double stop,
        IntegratorOptions options,
        bool atRest = false,
        int[]? elements = null,
        CancellationToken cancellationToken = default
    )
    {
        var recording = new Recording(workspace.Circuit.Circuit, elements ?? []);
        var integrator = new Integrator(
            workspace,
            options,
            SourceFunctions.OfCards(workspace, OutputShare * stop, stop)
        )
        {
            Stepped = recording.Add,
        };
        if (atRest)
        {
            integrator.StartAtRest();
        }
        else if (!integrator.StartAtOperatingPoint([], cancellationToken))
        {
            return (integrator.Outcome(TransientFailure.NoOperatingPoint), recording);
        }
        else
        {
            recording.Add(integrator);
        }
        return (integrator.Outcome(integrator.AdvanceTo(stop, cancellationToken)), recording);
    }
}
