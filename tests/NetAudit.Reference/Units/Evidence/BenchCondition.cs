using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units.Evidence;

/// <summary>A state in which a unit is measured, made for ngspice without the program's own code for conditions.</summary>
/// <param name="Text">As in readings files.</param>
/// <param name="Circuit">The healthy circuit in that state.</param>
/// <param name="Adjust">What becomes of a unit's spread and of its faults' edits there.</param>
public sealed record BenchCondition(
    string Text,
    Circuit Circuit,
    Func<BenchUnit, IEnumerable<CircuitEdit>> Adjust
)
{
    /// <summary>Node that the test signal is fed into through a generator's resistance, or -1 for the sheet's own source.</summary>
    public int InjectedNode { get; init; } = -1;

    /// <summary>Volts RMS of the test signal; null is what the sheet says.</summary>
    public double? SignalVolts { get; init; }
}

/// <summary>A unit as edits, its spread apart from its faults.</summary>
/// <param name="Spread">How it differs from nominal.</param>
/// <param name="Faults">What is wrong.</param>
/// <param name="OtherTubes">Spread of the known-good tubes on the shelf.</param>
public sealed record BenchUnit(
    ImmutableArray<CircuitEdit> Spread,
    ImmutableArray<UnitFault> Faults,
    ImmutableArray<CircuitEdit> OtherTubes
)
{
    /// <summary>Spread and faults together.</summary>
    public IEnumerable<CircuitEdit> Edits => [.. Spread, .. Faults.SelectMany(f => f.Edits)];
}
