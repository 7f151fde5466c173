namespace NetAudit.Circuits.Stages;

/// <summary>Names of stages that no sheet names: the devices, and what they do where that is evident.</summary>
internal sealed class StageNames(
    StageGraph graph,
    IReadOnlySet<int> supply,
    IReadOnlyList<StageDraft> stages
)
{
    private readonly StageDraft[] active =
    [
        .. stages.Where(stage => stage.Kind == StageKind.Active),
    ];

    // Equal loads at plate and cathode make a cathodyne; one within a factor of two of the other is meant to be equal.
    private const double LargestLoadRatio = 2;

    public string Of(StageDraft stage) =>
        stage.Kind switch
        {
            StageKind.Supply => Supply(stage),
            StageKind.Network => Network(stage),
            _ => $"{Devices(stage)} {Function(stage)}",
        };

    private static string Devices(StageDraft stage) =>
        string.Join(" ", stage.Devices.Select(device => device.Name));

    private string Supply(StageDraft stage)
    {
        if (stages.Count(other => other.Kind == StageKind.Supply) < 2)
        {
            return "Supply";
        }
        var sources = graph
            .Links.Where(link =>
                link.Kind == LinkKind.Source
                && (stage.Nodes.Contains(link.A) || stage.Nodes.Contains(link.B))
            )
            .Select(link => graph.Circuit.Elements[link.Element].Name);
        return "Supply " + string.Join(" ", sources);
    }

    // Into the grids it reaches, or, behind a coupling capacitor, into the next stage down the path that it has a link to.
    private string Network(StageDraft stage)
    {
        if (!stage.Devices.IsEmpty)
        {
            return $"Network into {Devices(stage)}";
        }
        var neighbours = stage
            .Nodes.SelectMany(node => graph.LinksAt(node).Select(link => link.Other(node)))
            .ToHashSet();
        var next = active
            .Where(other => other.Depth > stage.Depth && other.Nodes.Overlaps(neighbours))
            .MinBy(other => other.Depth);
        return next is null ? "Passive network" : $"Network into {Devices(next)}";
    }

    private string Function(StageDraft stage)
    {
        var devices = stage.Devices;
        if (devices.Any(device => DeviceGroups.TransformersAt(graph, device.Plate).Any()))
        {
            return "output stage";
        }
        var followers = devices.Count(device => !IsSignal(device.Plate));
        if (devices.Length == 1)
        {
            return Single(devices[0], followers == 1);
        }
        if (followers == devices.Length)
        {
            return devices.All(device => device.IsTube) ? "cathode followers" : "output stage";
        }
        var isPair =
            devices.Length == 2
            && IsSignal(devices[0].Cathode)
            && devices[0].Cathode == devices[1].Cathode
            && devices[0].Plate != devices[1].Plate;
        if (isPair)
        {
            return devices[0].IsTube ? "long-tailed pair" : "differential pair";
        }
        return followers == 0 ? "gain stage" : "stage";
    }

    private string Single(ActiveDevice device, bool isFollower)
    {
        if (isFollower)
        {
            return IsSignal(device.Cathode)
                ? device.IsTube
                    ? "cathode follower"
                    : "follower"
                : "stage";
        }
        return IsCathodyne(device) ? "cathodyne phase splitter" : "gain stage";
    }

    // Load resistors alike at plate and cathode, and the signal taken off at both.
    private bool IsCathodyne(ActiveDevice device)
    {
        var plate = graph
            .DirectLinksAt(device.Plate)
            .Where(link => supply.Contains(link.Other(device.Plate)))
            .Sum(link => link.Size);
        var (cathode, takenOff) = CathodeLoad(device.Cathode);
        return plate > 0
            && cathode > plate / LargestLoadRatio
            && cathode < plate * LargestLoadRatio
            && takenOff
            && LeadsAway(device.Plate);
    }

    // Follows the cathode's resistors down to chassis; leaks to the grid end nowhere.
    private (double Ohms, bool TakenOff) CathodeLoad(int cathode)
    {
        var ohms = 0.0;
        var takenOff = false;
        var seen = new HashSet<int>();
        var at = cathode;
        while (at > 0 && seen.Add(at))
        {
            takenOff |= LeadsAway(at);
            var down = graph
                .DirectLinksAt(at)
                .Where(link => !seen.Contains(link.Other(at)) && !supply.Contains(link.Other(at)))
                .OrderBy(link => link.Other(at) == 0 ? 0 : 1)
                .ThenBy(link => link.Size)
                .FirstOrDefault();
            if (down == default)
            {
                return (0, takenOff);
            }
            ohms += down.Size;
            at = down.Other(at);
        }
        return (ohms, takenOff);
    }

    private bool LeadsAway(int node) =>
        graph
            .LinksAt(node)
            .Any(link => link.Kind == LinkKind.Capacitive && IsSignal(link.Other(node)));

    private bool IsSignal(int node) => node > 0 && !supply.Contains(node);
}
