using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>One thing about the state of the unit that differs from powered normally.</summary>
public abstract record ConditionTerm
{
    /// <summary>Digits that numbers are written with: as many as anyone types.</summary>
    private protected const int Digits = 12;
}

/// <summary>Mains off, capacitors discharged. <c>off</c></summary>
public sealed record PowerOff : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() => "off";
}

/// <summary>A switch in another position than its first. <c>standby</c>, <c>Tone=bypass</c></summary>
/// <param name="Switch">The sheet's name of the switch.</param>
/// <param name="Position">The sheet's name of the position.</param>
public sealed record SwitchSetting(string Switch, string Position) : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() => $"{Switch}={Position}";
}

/// <summary>Another wall voltage than nominal. <c>mains=85</c></summary>
/// <param name="Volts">Volts RMS.</param>
public sealed record MainsVoltage(double Volts) : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() =>
        $"mains={EngineeringNotation.Format(Volts, digits: Digits)}";
}

/// <summary>A control at a position. <c>volume=0.7</c></summary>
/// <param name="Control">The sheet's name of the control.</param>
/// <param name="Position">From 0 to 1.</param>
public sealed record ControlSetting(string Control, double Position) : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() => FormattableString.Invariant($"{Control}={Position}");
}

/// <summary>A tube out of its socket. <c>pull V3</c></summary>
/// <param name="Tube">Part name.</param>
public sealed record TubePulled(string Tube) : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() => $"pull {Tube}";
}

/// <summary>A tube replaced by a known-good one. <c>swap V3</c></summary>
/// <param name="Tube">Part name.</param>
public sealed record TubeSwapped(string Tube) : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() => $"swap {Tube}";
}

/// <summary>Test signal at another level than the sheet's. <c>signal=50m</c></summary>
/// <param name="Volts">Volts RMS.</param>
public sealed record SignalLevel(double Volts) : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() =>
        $"signal={EngineeringNotation.Format(Volts, digits: Digits)}";
}

/// <summary>Another load than the test gear's own. <c>load=4</c></summary>
/// <param name="Ohms">Ohms.</param>
public sealed record LoadOhms(double Ohms) : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() => $"load={EngineeringNotation.Format(Ohms, digits: Digits)}";
}

/// <summary>The test signal fed in at another node. <c>inject NODE</c></summary>
/// <param name="Name">Point or node, in the circuit's spelling.</param>
/// <param name="Node">Node index.</param>
public sealed record SignalInjected(string Name, int Node) : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() => $"inject {Name}";
}

/// <summary>Two nodes joined by a clip lead. <c>link A B</c></summary>
/// <param name="First">Point or node, in the circuit's spelling.</param>
/// <param name="FirstNode">Node index.</param>
/// <param name="Second">Point or node, in the circuit's spelling.</param>
/// <param name="SecondNode">Node index.</param>
public sealed record NodesLinked(string First, int FirstNode, string Second, int SecondNode)
    : ConditionTerm
{
    /// <inheritdoc/>
    public override string ToString() => $"link {First} {Second}";
}
