namespace NetAudit.Simulation;

/// <summary>How an operating point was found.</summary>
public enum SolveStrategy
{
    /// <summary>None: nothing converged.</summary>
    None,

    /// <summary>Damped Newton iteration from the start values.</summary>
    Newton,

    /// <summary>Leakage at every node, reduced in steps.</summary>
    LeakageStepping,

    /// <summary>Capacitance at every node, with growing time steps.</summary>
    PseudoTransient,

    /// <summary>Sources raised in steps.</summary>
    SourceStepping,
}

/// <summary>Result of a solve.</summary>
/// <param name="Converged">Whether an operating point was found.</param>
/// <param name="Iterations">Newton iterations over all strategies.</param>
/// <param name="Residual">Largest violation of Kirchhoff's current law at the solution (when there is none, at the last point tried), amperes.</param>
/// <param name="Strategy">What worked.</param>
public readonly record struct SolveOutcome(
    bool Converged,
    int Iterations,
    double Residual,
    SolveStrategy Strategy
);
