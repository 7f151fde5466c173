using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Expectations;

namespace NetAudit.Bench.Circuits;

/// <summary>
/// The order in which a bench goes through the points (common practice): supplies first, then the tubes' and transistors' own terminals
/// along the signal path, then the rest.
/// </summary>
internal static class ProbeOrder
{
    /// <summary>A point that should read less than this against chassis tells little, volts.</summary>
    private const double Telling = 0.2;

    public static ImmutableArray<ExpectedReading> Of(
        Amplifier amplifier,
        ImmutableArray<ExpectedReading> expected
    )
    {
        var groups = StagePoints.Group(amplifier, expected);
        var supplies = amplifier
            .Stages.Where(stage => stage.IsSupply)
            .Select(stage => stage.Name)
            .ToHashSet();
        var terminals = amplifier
            .Parts.Where(part => IsActive(part.Class))
            .SelectMany(part => part.Pins)
            .Select(pin => pin.Node)
            .ToHashSet();
        int Rank(string stage, ExpectedReading reading) =>
            (
                supplies.Contains(stage),
                terminals.Contains(reading.Point.Node),
                Math.Abs(reading.Mean) >= Telling
            ) switch
            {
                (true, _, true) => 0,
                (_, true, true) => 1,
                (_, true, false) => 3,
                (_, false, true) => 2,
                _ => 4,
            };
        return
        [
            .. groups
                .SelectMany(group => group.Readings.Select(reading => (group.Stage, reading)))
                .OrderBy(pair => Rank(pair.Stage, pair.reading))
                .Select(pair => pair.reading)
                .DistinctBy(reading => reading.Point.Node),
        ];
    }

    private static bool IsActive(PartClass kind) =>
        kind
            is PartClass.Tube
                or PartClass.BipolarTransistor
                or PartClass.JunctionFet
                or PartClass.MosFet;
}
