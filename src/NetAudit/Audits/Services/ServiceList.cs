using System.Collections.Immutable;
using NetAudit.Audits.Consequences;
using NetAudit.Audits.Stresses;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Common;

namespace NetAudit.Audits.Services;

/// <summary>The way in for the service list: what to order, renew and look at before a unit leaves the bench. Thread-safe.</summary>
public static class ServiceList
{
    /// <summary>Years after which electrolytics are renewed as a matter of course (common practice, no source).</summary>
    public const double ElectrolyticYears = 20;

    /// <summary>Part of its rating above which a resistor is listed (common practice, no source).</summary>
    public const double HotRatio = 0.60;

    // Faults that expose a part, named in its note.
    private const int MostFaults = 3;

    /// <summary>The list, or null and the reason when the circuit does not settle: electrolytics, hot resistors, exposed parts, fuses.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="years">Age of the unit, or null when it is not known.</param>
    /// <param name="progress">Told how far it is, 0 to 1; or null.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static (ImmutableArray<ServiceItem>? Items, Diagnostic? Problem) Of(
        Amplifier amplifier,
        double? years,
        IProgress<double>? progress = null,
        CancellationToken cancellationToken = default
    )
    {
        var (report, problem) = StressAnalysis.Of(amplifier, cancellationToken);
        if (report is null)
        {
            return (null, problem);
        }
        var (finder, unsettled) = ConsequenceFinder.Prepare(amplifier, cancellationToken);
        if (finder is null)
        {
            return (null, unsettled);
        }
        var stresses = report
            .Lines.Concat(report.Unrated)
            .ToLookup(line => line.Item.Part, StringComparer.OrdinalIgnoreCase);
        return (
            [
                .. Electrolytics(amplifier, stresses, years),
                .. HotResistors(amplifier, report),
                .. Exposed(amplifier, finder.All(progress, cancellationToken)),
                .. Fuses(amplifier),
            ],
            null
        );
    }

    private static IEnumerable<ServiceItem> Electrolytics(
        Amplifier amplifier,
        ILookup<string, StressLine> stresses,
        double? years
    )
    {
        foreach (var part in amplifier.Parts.Where(part => part.Class == PartClass.Electrolytic))
        {
            var capacitor = part
                .Elements.Select(i => amplifier.Circuit.Elements[i])
                .OfType<Capacitor>()
                .First();
            var line = stresses[part.Name].First(line => line.Item.Kind == StressKind.Volts);
            var surge = stresses[part.Name]
                .FirstOrDefault(line => line.Item.Kind == StressKind.SurgeVolts);
            var rating = line.Item.Limit;
            // Never less than the sheet gives the part itself: its maker may know of peaks that are not computed here.
            double[] demands =
            [
                line.Worst,
                PassiveStresses.RatingForSurge(surge?.Worst ?? 0),
                part.Data?.Voltage ?? 0,
            ];
            var needed = demands.Max();
            var fit = StandardRatings.AtLeast("electrolytic", needed);
            var value = EngineeringNotation.Format(capacitor.Farads, "F");
            yield return new(
                part.Name,
                ServiceReason.Electrolytic,
                capacitor.Farads,
                "F",
                rating,
                "V",
                Math.Max(line.Worst, surge?.Worst ?? 0),
                fit is { } volts
                    ? $"{value}, {EngineeringNotation.Format(volts, "V")} or more"
                    : $"{value}, above {EngineeringNotation.Format(needed, "V", 3)}: two in series",
                line.Ratio > 1 ? "over its rating"
                    : surge?.Ratio > 1 ? "over its surge rating at switch-on"
                    : years >= ElectrolyticYears ? "renew: older than 20 years"
                    : "",
                line.Ratio > 1 || surge?.Ratio > 1 || years >= ElectrolyticYears
            );
        }
    }

    private static IEnumerable<ServiceItem> HotResistors(Amplifier amplifier, StressReport report)
    {
        foreach (var line in report.Lines.Where(line => line.Ratio > HotRatio))
        {
            if (
                line.Item.Kind == StressKind.Power
                && amplifier.FindPart(line.Item.Part) is { Class: PartClass.Resistor } part
                && amplifier.Circuit.Elements[part.Elements[0]] is Resistor resistor
            )
            {
                var needed = line.Worst / HotRatio;
                var watts = StandardRatings.AtLeast("resistor", needed) ?? needed;
                yield return new(
                    part.Name,
                    ServiceReason.RunsHot,
                    resistor.Ohms,
                    "Ω",
                    line.Item.Limit,
                    "W",
                    line.Worst,
                    $"{EngineeringNotation.Format(resistor.Ohms, "Ω")}, {EngineeringNotation.Format(watts, "W", 2)} or more",
                    FormattableString.Invariant($"runs at {100 * line.Ratio:0} % of its rating"),
                    line.Ratio > 1
                );
            }
        }
    }

    private static IEnumerable<ServiceItem> Exposed(
        Amplifier amplifier,
        ImmutableArray<Consequence> consequences
    )
    {
        // A fault that a part does to itself says nothing of the others.
        var exposures =
            from one in consequences
            from overload in one.Overloads
            let part = amplifier.FindPart(overload.Item.Part)
            where part is not null && amplifier.FindPart(one.Faults[0].Part) != part
            group (one, overload) by part.Name;
        foreach (
            var exposure in exposures.OrderByDescending(group => group.Sum(pair => pair.one.Share))
        )
        {
            var part = amplifier.FindPart(exposure.Key)!;
            var faults = exposure
                .OrderByDescending(pair => pair.one.Share)
                .Select(pair =>
                    Diagnosis.FaultWords.Describe(pair.one.Faults[0] with { Value = null })
                )
                .Distinct()
                .ToArray();
            var worst = exposure.MaxBy(pair => pair.overload.Ratio).overload;
            var more = faults.Length > MostFaults ? $" and {faults.Length - MostFaults} more" : "";
            yield return new(
                part.Name,
                ServiceReason.Exposed,
                null,
                "",
                worst.Item.Limit,
                worst.Item.Kind.Unit(),
                worst.Value,
                "",
                $"{worst.Item.Kind.Describe()} over its limit after {string.Join(", ", faults.Take(MostFaults))}{more}",
                false
            );
        }
    }

    private static IEnumerable<ServiceItem> Fuses(Amplifier amplifier) =>
        new[] { amplifier.Sheet.Mains.Fuse }
            .OfType<FuseData>()
            .Concat(amplifier.Sheet.Fuses)
            .Select(fuse => new ServiceItem(
                fuse.Element.Length > 0 ? fuse.Element : fuse.Name,
                ServiceReason.Fuse,
                fuse.RatedAmps,
                "A",
                null,
                "",
                null,
                fuse.RatedAmps is { } amps
                    ? $"{EngineeringNotation.Format(amps, "A")} {fuse.Speed}".TrimEnd()
                        + ", no other"
                    : "",
                fuse.RatedAmps is null
                    ? $"{fuse.Name}: the sheet gives no rating; find the marking on the unit or its drawing"
                    : fuse.Name,
                false
            ));
}
