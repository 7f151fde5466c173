namespace NetAudit.Reference.Netlists;

/// <summary>The tolerances every reference run uses: tight enough that ngspice's own error stays far below the agreement asked for.</summary>
public static class NgspiceOptions
{
    /// <summary>The same settings for the <c>option</c> command.</summary>
    public const string Settings =
        "reltol=1e-6 abstol=1e-12 vntol=1e-9 gmin=1e-12 itl1=1000 itl2=500 itl6=200";

    /// <summary>As a card of the netlist.</summary>
    public const string Card = $".options {Settings}";
}
