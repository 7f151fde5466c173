namespace NetAudit.Simulation.Transients;

/// <summary>Why a transient ended before its time.</summary>
public enum TransientFailure
{
    /// <summary>It did not: it ran to its end.</summary>
    None,

    /// <summary>No operating point to start from was found.</summary>
    NoOperatingPoint,

    /// <summary>At some moment no step, however short, could be made to converge.</summary>
    StepTooShort,

    /// <summary>The bound on the number of steps was reached.</summary>
    TooManySteps,
}

/// <summary>How a transient went.</summary>
/// <param name="Failure">Why it ended early, or <see cref="TransientFailure.None"/>.</param>
/// <param name="Time">Seconds reached.</param>
/// <param name="Steps">Steps accepted.</param>
/// <param name="Rejected">Steps taken again, shorter: for accuracy, or because they did not converge.</param>
/// <param name="Iterations">Newton iterations over all steps.</param>
public readonly record struct TransientOutcome(
    TransientFailure Failure,
    double Time,
    int Steps,
    int Rejected,
    int Iterations
)
{
    /// <summary>Whether it ran to its end.</summary>
    public bool Completed => Failure == TransientFailure.None;
}
