using NetAudit.Circuits;

namespace NetAudit.Jobs;

/// <summary>What a closed job says was wrong.</summary>
/// <param name="Job">Its number.</param>
/// <param name="Model">Model of the unit, as written.</param>
/// <param name="Part">The part, as written.</param>
/// <param name="Mode">What was wrong with it, as written; may be empty.</param>
/// <param name="Class">Class of the part; null when the job's circuit has no such part, and then it does not count.</param>
public sealed record ConfirmedCause(
    long Job,
    string Model,
    string Part,
    string Mode,
    PartClass? Class
);
