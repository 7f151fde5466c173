namespace NetAudit.Simulation.Compilation;

/// <summary>How a linear circuit depends on the ohms of an edit.</summary>
internal enum EditRule
{
    /// <summary>Not at all.</summary>
    Idle,

    /// <summary>A resistance in the equation of the branch current at <see cref="EditShape.Index"/>.</summary>
    Branch,

    /// <summary>It adds to the ohms of the conductance <see cref="EditShape.Index"/>.</summary>
    Conductance,

    /// <summary>A conductance between the unknown at <see cref="EditShape.Index"/> and a node outside.</summary>
    Joint,
}

/// <summary>How a linear circuit depends on an edit.</summary>
internal readonly record struct EditShape(EditRule Rule, int Index)
{
    /// <summary>Of a joint: index of the voltage outside.</summary>
    public int Column { get; init; }

    /// <summary>Of a joint: equation that a current into the node outside enters.</summary>
    public int Row { get; init; }

    /// <summary>Of a joint.</summary>
    public double Siemens { get; init; }

    /// <summary>Of a joint: the source in series with it, or -1.</summary>
    public int Source { get; init; } = -1;

    /// <summary>+1 when the source raises the inner side.</summary>
    public int SourceSign { get; init; }
}
