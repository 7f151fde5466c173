using System.Collections.Immutable;

namespace NetAudit.Circuits.Stages;

/// <summary>What a stage is.</summary>
internal enum StageKind
{
    Active,
    Network,
    Supply,
}

/// <summary>A stage while its nodes and parts are being found.</summary>
internal sealed class StageDraft(StageKind kind, ImmutableArray<ActiveDevice> devices)
{
    public StageKind Kind { get; } = kind;

    /// <summary>Devices of an active stage; of a network the devices that it leads to; regulators of a supply.</summary>
    public ImmutableArray<ActiveDevice> Devices { get; } = devices;

    public SortedSet<int> Nodes { get; } = [];

    /// <summary>Nodes where its signal comes out: plates, transformer windings, a follower's cathode.</summary>
    public HashSet<int> Outputs { get; } = [];

    /// <summary>Distance from the input along the signal path; infinite when no signal reaches it.</summary>
    public double Depth { get; set; } = double.PositiveInfinity;

    public int Input { get; set; } = -1;
}
