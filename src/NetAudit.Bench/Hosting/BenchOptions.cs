namespace NetAudit.Bench.Hosting;

/// <summary>How the bench page is served.</summary>
public sealed record BenchOptions
{
    /// <summary>The port that is tried when none is given.</summary>
    public const int UsualPort = 8273;

    /// <summary>Netlist, or folder of netlists, that jobs can be opened for; null for none but those of earlier jobs.</summary>
    public string? Circuits { get; init; }

    /// <summary>File of jobs.</summary>
    public required string Jobs { get; init; }

    /// <summary>Port; 0 for any free one, null for <see cref="UsualPort"/> or any free one when that is taken.</summary>
    public int? Port { get; init; }

    /// <summary>True to listen on the local network too, behind a one-time code.</summary>
    public bool IsLan { get; init; }

    /// <summary>True to open the default browser.</summary>
    public bool OpensBrowser { get; init; }

    /// <summary>Where addresses and codes are written.</summary>
    public required TextWriter Output { get; init; }

    /// <summary>Name of the program that serves: its list of static files is used.</summary>
    public required string Program { get; init; }
}
