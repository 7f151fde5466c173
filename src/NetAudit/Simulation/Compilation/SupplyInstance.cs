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
)
{
    /// <summary>Partial derivatives of a supply.</summary>
    public const int Partials = 4;
}

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

/// <summary>What an element is to a supply.</summary>
internal static class SupplyQuantities
{
    /// <summary>What ohms in series with an element are to the supply; null when the element is none of its own.</summary>
    public static SupplyQuantity? OfJoint(this in SupplyInstance instance, int element) =>
        element == instance.Element ? SupplyQuantity.Winding
        : element == instance.Supply.Reservoir ? SupplyQuantity.ReservoirOhms
        : instance.Supply.Series.Contains(element) ? SupplyQuantity.Series
        : null;
}

/// <summary>A column of a Jacobian and what it is to a supply, beside what it is by its own rule.</summary>
internal readonly record struct SupplyColumn(int Column, int Supply, SupplyQuantity Quantity);
