using System.Collections.Immutable;

namespace NetAudit.Circuits.Sheets;

/// <summary>How one thing that differs between healthy units stands, as far as it is known.</summary>
/// <param name="Name">Name of the spread: <c>R3</c>, <c>XV1A emission</c>, <c>wall voltage</c>.</param>
/// <param name="Factor">What its nominal value is multiplied by; 1 where it is an offset.</param>
/// <param name="Offset">What is added to its nominal value, in its unit; 0 where it is a factor.</param>
/// <param name="Spread">What remains of its standard deviation, as a fraction above 0 up to 1.</param>
public sealed record CalibratedTerm(string Name, double Factor, double Offset, double Spread);

/// <summary>A better nominal point than the netlist's, fitted to readings. Immutable.</summary>
/// <param name="Title">What it was made for.</param>
/// <param name="Terms">The terms that moved.</param>
public sealed record Calibration(string? Title, ImmutableArray<CalibratedTerm> Terms);
