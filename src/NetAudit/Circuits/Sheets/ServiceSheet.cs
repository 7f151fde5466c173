using System.Collections.Immutable;

namespace NetAudit.Circuits.Sheets;

/// <summary>What a netlist cannot say about an amplifier: a <c>*.sheet.toml</c> file, or the defaults. Immutable.</summary>
public sealed record ServiceSheet
{
    /// <summary>The sheet of a circuit that has none.</summary>
    public static ServiceSheet Default { get; } = new();

    /// <summary>Model name, or null.</summary>
    public string? Title { get; init; }

    /// <summary>Revision, or null.</summary>
    public string? Revision { get; init; }

    /// <summary>Netlist file, relative to the sheet, or null.</summary>
    public string? Netlist { get; init; }

    /// <summary>Meter.</summary>
    public Meter Meter { get; init; } = Meter.Default;

    /// <summary>Wall supply; its spread of 3 % is common practice, no source.</summary>
    public MainsData Mains { get; init; } = new(null, 0.03, []);

    /// <summary>Class tolerances: the built-in ones with the sheet's in their place.</summary>
    public ToleranceTable Tolerances { get; init; } = ToleranceTable.Default;

    /// <summary>Keys of <see cref="Tolerances"/> that the sheet itself gives.</summary>
    public ImmutableHashSet<string> GivenTolerances { get; init; } = [];

    /// <summary>Parts by name, case-insensitive.</summary>
    public ImmutableDictionary<string, PartData> Parts { get; init; } =
        ImmutableDictionary.Create<string, PartData>(StringComparer.OrdinalIgnoreCase);

    /// <summary>Tubes.</summary>
    public ImmutableArray<TubeData> Tubes { get; init; } = [];

    /// <summary>Probe points.</summary>
    public ImmutableArray<PointData> Points { get; init; } = [];

    /// <summary>Stages.</summary>
    public ImmutableArray<StageData> Stages { get; init; } = [];

    /// <summary>Controls.</summary>
    public ImmutableArray<ControlData> Controls { get; init; } = [];

    /// <summary>Switches.</summary>
    public ImmutableArray<SwitchData> Switches { get; init; } = [];

    /// <summary>Supplies.</summary>
    public ImmutableArray<SupplyData> Supplies { get; init; } = [];

    /// <summary>Fuses.</summary>
    public ImmutableArray<FuseData> Fuses { get; init; } = [];

    /// <summary>Contacts.</summary>
    public ImmutableArray<ContactData> Contacts { get; init; } = [];

    /// <summary>Elements of test gear: never at fault.</summary>
    public ImmutableArray<string> Fixtures { get; init; } = [];

    /// <summary>Sources that are open, not shorts, with the mains off.</summary>
    public ImmutableArray<string> OpenWhenOff { get; init; } = [];

    /// <summary>Test signal, or null.</summary>
    public SignalData? Signal { get; init; }

    /// <summary>Year in which the unit was built, or null.</summary>
    public double? Built { get; init; }

    /// <summary>Findings of the audit that are left as they are.</summary>
    public ImmutableArray<AcceptData> Accepted { get; init; } = [];

    /// <summary>Heater windings.</summary>
    public ImmutableArray<HeaterData> Heaters { get; init; } = [];

    /// <summary>Ratings of parts that have none of their own.</summary>
    public RatingData Ratings { get; init; } = RatingData.None;

    /// <summary>Places where a hand may be.</summary>
    public ImmutableArray<TouchData> Touches { get; init; } = [];

    /// <summary>Voltages printed in service data.</summary>
    public ImmutableArray<PublishedVoltage> Published { get; init; } = [];

    /// <summary>A better nominal point than the netlist's, or null; from a file of its own.</summary>
    public Calibration? Calibration { get; init; }
}
