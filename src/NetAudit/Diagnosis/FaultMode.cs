using NetAudit.Common;

namespace NetAudit.Diagnosis;

/// <summary>What can be wrong with a part, a joint or a pair of nodes. The names on screen and in JSON are those of <see cref="FaultModes.Name"/>.</summary>
public enum FaultMode
{
    /// <summary>No conduction.</summary>
    Open,

    /// <summary>A short between the part's own terminals.</summary>
    Short,

    /// <summary>A value that has moved away from the marked one.</summary>
    Drifted,

    /// <summary>A part of another value is fitted: off by a whole decade.</summary>
    WrongValue,

    /// <summary>Conducts DC where it should not.</summary>
    Leaky,

    /// <summary>An electrolytic that has lost most of its capacitance.</summary>
    DriedOut,

    /// <summary>A joint that does not conduct.</summary>
    OpenJoint,

    /// <summary>A joint that conducts badly.</summary>
    ResistiveJoint,

    /// <summary>Two neighbouring pins joined.</summary>
    Bridged,

    /// <summary>A tube or section that passes no current.</summary>
    Dead,

    /// <summary>A tube section of low emission, or a transistor of low current gain.</summary>
    Weak,

    /// <summary>Grid current from ionised gas.</summary>
    Gassy,

    /// <summary>Control grid touching the cathode.</summary>
    GridCathodeShort,

    /// <summary>Leakage between heater and cathode.</summary>
    HeaterCathodeLeak,

    /// <summary>The envelope is not heated.</summary>
    HeaterOpen,

    /// <summary>A source gives too little.</summary>
    SupplyLow,

    /// <summary>A source gives too much.</summary>
    SupplyHigh,

    /// <summary>One rectifier of a supply does not conduct; in a bridge one of four.</summary>
    RectifierDead,

    /// <summary>A supply's rectifier tube of low emission.</summary>
    RectifierWeak,

    /// <summary>One plate of a supply's rectifier tube of low emission.</summary>
    RectifierPlateWeak,

    /// <summary>One half of a supply's winding gives nothing.</summary>
    HalfWindingOpen,

    /// <summary>The wall voltage, or the primary, gives too little: every supply that follows it is low.</summary>
    MainsLow,
}

/// <summary>Names of the fault modes.</summary>
public static class FaultModes
{
    /// <summary>The mode's name in files, JSON and on screen: <c>open-joint</c>.</summary>
    public static string Name(this FaultMode mode) => EnumName.Of(mode);
}
