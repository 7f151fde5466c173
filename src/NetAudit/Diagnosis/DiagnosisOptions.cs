namespace NetAudit.Diagnosis;

/// <summary>How far a diagnosis goes.</summary>
public sealed record DiagnosisOptions
{
    /// <summary>Most faults that one suspect may hold, 1 to 5. Larger sets are only tried while the evidence asks for them.</summary>
    public int MaxFaults { get; init; } = 4;

    /// <summary>What the owner complains of: one of <see cref="Complaints.All"/>, or null.</summary>
    public string? Complaint { get; init; }

    /// <summary>What the shop confirmed in other units of the model, or null.</summary>
    public ShopExperience? Experience { get; init; }

    /// <summary>Whether only the likeliest sets are looked at: a first word while a full search goes on.</summary>
    public bool IsQuick { get; init; }

    /// <summary>Whether to find the readings to take next.</summary>
    public bool WithNext { get; init; }

    /// <summary>Suspects below this probability are not listed.</summary>
    public double LeastProbability { get; init; } = 1e-3;

    /// <summary>Most suspects listed.</summary>
    public int MostSuspects { get; init; } = 20;
}
