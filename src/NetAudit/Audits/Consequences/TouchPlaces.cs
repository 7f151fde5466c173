using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Audits.Consequences;

/// <summary>Where a hand may be, and how much it may find there (<c>Data/touch-limits.csv</c>).</summary>
internal static class TouchPlaces
{
    /// <summary>Resistance of a body from hand to chassis in ohms: that of IEC 60990 (from memory).</summary>
    public const double BodyOhms = 2000;

    // The tracks of controls on the panel stand at signal level (common practice, no source).
    private const double MostControlVolts = 20;

    private static readonly string[] JackWords = ["jack", "socket", "send", "return"];

    private static readonly Lazy<(TouchLevel Level, double Volts, double Amps)[]> Limits = new(
        Load
    );

    /// <summary>Volts below which nothing has to be asked.</summary>
    public static double LeastVolts => Limits.Value.Min(limit => limit.Volts);

    /// <summary>
    /// The sheet's <c>[[touch]]</c> places, or without them the nodes of test gear and of contacts called a jack; and the ends of controls,
    /// of which only the insulation is between track and knob.
    /// </summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="healthyVolts">Its operating point: a control that stands at tens of volts by itself is a trimmer inside.</param>
    public static ImmutableArray<(string Name, int Node, bool IsInsulated)> Of(
        Amplifier amplifier,
        double[] healthyVolts
    )
    {
        var circuit = amplifier.Circuit;
        var found = new List<(string Name, int Node, bool IsInsulated)>();
        foreach (var touch in amplifier.Sheet.Touches)
        {
            found.Add(
                (
                    touch.Name,
                    amplifier.FindPoint(touch.Node)?.Node ?? circuit.FindNode(touch.Node),
                    false
                )
            );
        }
        if (found.Count == 0)
        {
            foreach (var part in amplifier.Parts.Where(part => part.Class == PartClass.Fixture))
            {
                Add($"terminal of {part.Name}", part);
            }
            foreach (var contact in amplifier.Sheet.Contacts)
            {
                if (
                    JackWords.Any(word =>
                        contact.Name.Contains(word, StringComparison.OrdinalIgnoreCase)
                    ) && amplifier.FindPart(contact.Element) is { } part
                )
                {
                    Add(contact.Name, part);
                }
            }
        }
        foreach (var part in amplifier.Parts.Where(part => part.Class == PartClass.Potentiometer))
        {
            var ends = part.Elements.SelectMany(i => circuit.Elements[i].Terminals);
            if (ends.All(end => Math.Abs(healthyVolts[end.Node]) < MostControlVolts))
            {
                Add($"{part.Name} (control)", part, isInsulated: true);
            }
        }
        return
        [
            .. found.Where(place => place.Node > 0).DistinctBy(place => (place.Name, place.Node)),
        ];

        void Add(string name, Part part, bool isInsulated = false)
        {
            foreach (var end in part.Elements.SelectMany(i => circuit.Elements[i].Terminals))
            {
                found.Add((name, end.Node, isInsulated));
            }
        }
    }

    /// <summary>How bad a voltage is that drives that much through a body, or null when it is safe: volts and amperes must both be over.</summary>
    public static TouchLevel? LevelOf(double volts, double amps)
    {
        TouchLevel? worst = null;
        foreach (var (level, mostVolts, mostAmps) in Limits.Value)
        {
            if (Math.Abs(volts) > mostVolts && Math.Abs(amps) > mostAmps)
            {
                worst = level;
            }
        }
        return worst;
    }

    private static (TouchLevel, double, double)[] Load() =>
        [
            .. EmbeddedTable
                .Read("touch-limits.csv")
                .Select(row =>
                    (
                        Enum.Parse<TouchLevel>(row["level"], ignoreCase: true),
                        Number(row["volts"]),
                        Number(row["amps"])
                    )
                )
                .OrderBy(limit => limit.Item1),
        ];

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
