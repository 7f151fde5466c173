using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Audits.Calibrations;

/// <summary>The voltages of service data as readings. Their stated limits take the place of the meter's: every value within is as likely.</summary>
internal static class PublishedReadings
{
    private static readonly double UniformSigma = 1 / Math.Sqrt(3);

    public static ReadingSelection Of(HealthyUnit healthy)
    {
        var amplifier = healthy.Amplifier;
        var weighed = amplifier
            .Sheet.Published.SelectMany(Values)
            .Select(value =>
                (
                    value.Published,
                    value.Kind,
                    value.Volts,
                    Node: amplifier.FindPoint(value.Published.At)?.Node
                        ?? amplifier.Circuit.FindNode(value.Published.At)
                )
            )
            .Where(value => value.Node > 0)
            .OrderBy(value => value.Kind)
            .Select(value => Weighed(healthy, value.Published, value.Kind, value.Volts, value.Node))
            .ToImmutableArray();
        return new(
            [(healthy.Scenes.Normal, [.. weighed.Select(reading => reading.Row)])],
            weighed,
            [],
            []
        );
    }

    private static IEnumerable<(PublishedVoltage Published, ReadingKind Kind, double Volts)> Values(
        PublishedVoltage published
    )
    {
        if (published.Dc is { } dc)
        {
            yield return (published, ReadingKind.Dc, dc);
        }
        if (published.Ac is { } ac)
        {
            yield return (published, ReadingKind.Ac, ac);
        }
    }

    private static WeighedReading Weighed(
        HealthyUnit healthy,
        PublishedVoltage published,
        ReadingKind kind,
        double volts,
        int node
    )
    {
        var row = Row.Of(healthy.Meter, kind, node, 0, volts);
        var reading = new Reading(
            published.At,
            node,
            kind,
            volts,
            null,
            null,
            null,
            0,
            Condition.Normal,
            "published",
            default
        );
        var limits = published.Limits * UniformSigma * Math.Abs(volts);
        var own = healthy.Meter.OwnSigma(row, volts);
        var sigma = kind == ReadingKind.Dc ? limits : limits * RowScale.Slope(row, volts);
        return new(reading, row, RowScale.Of(row, volts), Math.Sqrt(sigma * sigma + own * own));
    }
}
