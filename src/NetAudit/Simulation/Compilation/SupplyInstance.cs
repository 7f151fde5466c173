using NetAudit.Circuits;

namespace NetAudit.Simulation.Compilation;

/// <summary>
/// A rectifier supply: one flow from the source's second terminal to its first, inputs reservoir and source (positive and negative of
/// each), a partial for each input.
/// </summary>
internal readonly record struct SupplyInstance(
    RectifierSupply Supply,
    int Element,
    double Polarity,
    int FirstInput,
    int Flow,
    int FirstPartial
);

/// <summary>What a solver parameter is to a supply.</summary>
internal enum SupplyQuantity : byte
{
    Secondary,
    Winding,
    Series,
    Strength,
    First,
    Second,
    Farads,
    ReservoirOhms,
}

/// <summary>A column of a Jacobian and what it is to a supply, beside what it is by its own rule.</summary>
internal readonly record struct SupplyColumn(int Column, int Supply, SupplyQuantity Quantity);
