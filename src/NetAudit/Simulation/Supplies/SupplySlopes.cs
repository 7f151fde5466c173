using System.Numerics;
using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation.Supplies;

/// <summary>Derivatives of a harmonic of a supply's current, RMS amperes, by what the supply depends on.</summary>
internal readonly record struct SupplySlopes(
    RectifierSlopes<Complex> Rectifier,
    double Strength,
    double First,
    double Second
)
{
    /// <summary>By the reservoir's average volts.</summary>
    public Complex Volts => Rectifier.Volts;

    /// <summary>By a quantity.</summary>
    public Complex Of(SupplyQuantity quantity) =>
        quantity switch
        {
            SupplyQuantity.Secondary => Rectifier.Secondary,
            SupplyQuantity.Winding or SupplyQuantity.Series => Rectifier.Ohms,
            SupplyQuantity.Strength => Rectifier.First * First + Rectifier.Second * Second,
            SupplyQuantity.First => Rectifier.First * Strength,
            SupplyQuantity.Second => Rectifier.Second * Strength,
            SupplyQuantity.Farads => Rectifier.Farads,
            _ => Rectifier.ReservoirOhms,
        };
}
