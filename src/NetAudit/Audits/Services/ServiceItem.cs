namespace NetAudit.Audits.Services;

/// <summary>Why a part is on the service list.</summary>
public enum ServiceReason
{
    /// <summary>An electrolytic: wears out with age.</summary>
    Electrolytic,

    /// <summary>A resistor that runs above 60 % of its rating.</summary>
    RunsHot,

    /// <summary>A part that single faults of others overstress.</summary>
    Exposed,

    /// <summary>A fuse, with the value and type to fit.</summary>
    Fuse,
}

/// <summary>A part to look at, order or renew.</summary>
/// <param name="Part">Its name.</param>
/// <param name="Reason">Why it is listed.</param>
/// <param name="Value">Its value in ohms, farads or amperes, or null.</param>
/// <param name="Unit"><c>Ω</c>, <c>F</c>, <c>A</c> or empty.</param>
/// <param name="Rating">Its rating in watts or volts, or null when the sheet does not say.</param>
/// <param name="RatingUnit"><c>W</c> or <c>V</c>.</param>
/// <param name="Worst">The worst volts or watts over all conditions of the stress check, or null.</param>
/// <param name="Fit">What to fit when it is renewed: <c>47 µF, 450 V or more</c>.</param>
/// <param name="Note">What else there is to say, or empty.</param>
/// <param name="IsDue">True when common practice renews it whatever it measures.</param>
public sealed record ServiceItem(
    string Part,
    ServiceReason Reason,
    double? Value,
    string Unit,
    double? Rating,
    string RatingUnit,
    double? Worst,
    string Fit,
    string Note,
    bool IsDue
);
