using System.Collections.Immutable;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>What an <see cref="Alteration"/> does to the circuit.</summary>
internal enum AlterationKind
{
    /// <summary>Sets solver parameter <c>A</c>.</summary>
    Parameter,

    /// <summary>Joins nodes <c>A</c> and <c>B</c> by ohms.</summary>
    Bridge,

    /// <summary>The joint at pin <c>A</c> has ohms.</summary>
    Break,

    /// <summary>Amperes from node <c>A</c> to node <c>B</c>.</summary>
    Inject,
}

/// <summary>One change to the healthy circuit; its value is <see cref="Coefficient"/> times the fault's value.</summary>
internal readonly record struct Alteration(AlterationKind Kind, int A, int B, double Coefficient)
{
    /// <summary>Makes the change; all but a parameter's take one of the workspace's edits.</summary>
    /// <param name="workspace">The workspace.</param>
    /// <param name="size">Value of the change.</param>
    public void ApplyTo(Workspace workspace, double size)
    {
        switch (Kind)
        {
            case AlterationKind.Parameter:
                workspace.Set(A, size);
                break;
            case AlterationKind.Bridge:
                workspace.Bridge(A, B, size);
                break;
            case AlterationKind.Break:
                workspace.Break(A, size);
                break;
            case AlterationKind.Inject:
                workspace.Inject(A, B, size);
                break;
        }
    }
}

/// <summary>
/// How far a fault's value may reach: the fault value v is log-uniform between <see cref="Low"/> and <see cref="High"/>, searched from
/// the <see cref="Grid"/>. A fault without a free value has a grid of one.
/// </summary>
internal sealed record ValueRange(double Low, double High, ImmutableArray<double> Grid)
{
    /// <summary>A fault with a fixed value.</summary>
    public static ValueRange Fixed(double value) => new(value, value, [value]);

    /// <summary>A log-spaced grid with the given number of cells.</summary>
    public static ValueRange Log(double low, double high, int cells)
    {
        var step = Math.Log(high / low) / cells;
        return new(
            low,
            high,
            [.. Enumerable.Range(0, cells).Select(i => low * Math.Exp((i + 0.5) * step))]
        );
    }

    /// <summary>The healthy value, when the fault's value is a changed part value; otherwise null.</summary>
    public double? Nominal { get; init; }

    /// <summary>True when the value is free.</summary>
    public bool IsContinuous => High > Low;

    /// <summary>Width of the range in nats of the value's logarithm.</summary>
    public double LogWidth => Math.Log(High / Low);
}

/// <summary>
/// The screening direction of a fault: a solver parameter that moves one way, or a current that flows between two nodes.
/// </summary>
/// <param name="Parameter">Solver parameter, or -1.</param>
/// <param name="SecondParameter">A further parameter that moves with the first, or -1 (a worn pentode's screen with its plate).</param>
/// <param name="NodeA">Node the current leaves, or -1.</param>
/// <param name="NodeB">Node the current enters, or -1.</param>
/// <param name="Sign">+1 when the amount can only be positive, -1 only negative, 0 either.</param>
/// <param name="Downhill">True when the current flows from the higher of the two nodes to the lower, as through a resistance.</param>
internal readonly record struct Direction(
    int Parameter,
    int SecondParameter,
    int NodeA,
    int NodeB,
    int Sign,
    bool Downhill = true
);

/// <summary>
/// A class of electrically equal faults: one effect on the circuit, the identities that share it, and how often it occurs.
/// </summary>
internal sealed record FaultClass(
    int Index,
    ImmutableArray<Alteration> Alterations,
    ValueRange Range,
    Direction Direction,
    ImmutableArray<FaultIdentity> Identities
)
{
    /// <summary>The tube that has the fault within its envelope, so that another tube has not; null for all others.</summary>
    public string? Inside { get; init; }

    /// <summary>Share of all single faults: sum over the identities.</summary>
    public double Share { get; } = Identities.Sum(i => i.Share);

    /// <summary>
    /// What each observation and complaint says of this fault: log of its likelihood relative to a fault that has nothing to do with it.
    /// </summary>
    public ImmutableArray<double> Testimony { get; init; } = [];

    /// <summary>Log of the share, and all that observations and complaints say of this fault alone.</summary>
    public double LogWeight => Math.Log(Share) + Testimony.Sum();

    /// <summary>Names of the parts that the identities accuse; sets never hold two classes of one joint or part.</summary>
    public ImmutableHashSet<string> Parts { get; } = [.. Identities.Select(i => i.Fault.Part)];

    /// <summary>Puts the fault into a workspace beside what is there already.</summary>
    /// <param name="workspace">The workspace.</param>
    /// <param name="value">The fault's value.</param>
    public void ApplyTo(Workspace workspace, double value)
    {
        foreach (var alteration in Alterations)
        {
            alteration.ApplyTo(workspace, alteration.Coefficient * value);
        }
    }
}

/// <summary>A fault of the catalogue and its probability before any reading.</summary>
/// <param name="Fault">The fault, without value.</param>
/// <param name="Share">Share of all single faults, 0 to 1.</param>
internal sealed record FaultIdentity(Fault Fault, double Share);
