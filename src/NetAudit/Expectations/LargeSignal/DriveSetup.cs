using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>Where an amplifier is driven, at what frequency, and where the signal is followed. Immutable.</summary>
public sealed record DriveSetup
{
    private const double UsualFrequency = 1000;

    /// <summary>Element index of the voltage source that gives the signal.</summary>
    public required int Source { get; init; }

    /// <summary>Hertz.</summary>
    public required double Frequency { get; init; }

    /// <summary>RMS volts at which the sheet's test signal stands, or 100 mV.</summary>
    public required double UsualLevel { get; init; }

    /// <summary>Element index of the resistor that is the load, or -1.</summary>
    public required int Load { get; init; }

    /// <summary>The outputs of the stages along the signal path, the load last: name and node.</summary>
    public required ImmutableArray<(string Name, int Node)> Path { get; init; }

    /// <summary>The setup that the sheet and these wishes give, or the reason why there is none.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="source">Element name of the source, or null for that of the sheet's test signal.</param>
    /// <param name="load">Element name of the load resistor, or null for the resistor among the sheet's fixtures.</param>
    /// <param name="frequency">Hertz, or null for that of the sheet's test signal, else 1 kHz.</param>
    public static (DriveSetup? Setup, string? Reason) Find(
        Amplifier amplifier,
        string? source = null,
        string? load = null,
        double? frequency = null
    )
    {
        var circuit = amplifier.Circuit;
        var signal = amplifier.Sheet.Signal;
        var sourceName = source ?? signal?.Source;
        if (sourceName is null)
        {
            return (null, "Where the signal goes in is not known: name the source.");
        }
        var driven = circuit.FindElement(sourceName);
        if (driven < 0 || circuit.Elements[driven] is not VoltageSource)
        {
            return (null, $"{sourceName} is not a voltage source of this circuit.");
        }
        var loaded = load is null ? FindLoad(amplifier) : circuit.FindElement(load);
        if (load is not null && (loaded < 0 || circuit.Elements[loaded] is not Resistor))
        {
            return (null, $"{load} is not a resistor of this circuit.");
        }
        var path = FindPath(amplifier, loaded);
        if (path.IsEmpty)
        {
            return (null, "There is no stage to follow the signal through: name the load.");
        }
        return (
            new DriveSetup
            {
                Source = driven,
                Frequency = frequency ?? signal?.Frequency ?? UsualFrequency,
                UsualLevel = signal?.Level is > 0 and var level ? level : 0.1,
                Load = loaded,
                Path = path,
            },
            null
        );
    }

    private static int FindLoad(Amplifier amplifier) =>
        amplifier
            .Sheet.Fixtures.Select(amplifier.Circuit.FindElement)
            .FirstOrDefault(e => e >= 0 && amplifier.Circuit.Elements[e] is Resistor, -1);

    private static ImmutableArray<(string, int)> FindPath(Amplifier amplifier, int load)
    {
        var path = amplifier
            .Stages.Where(stage => !stage.IsSupply && stage.Output > 0)
            .Select(stage => (stage.Name, stage.Output))
            .ToList();
        if (load >= 0)
        {
            var terminals = amplifier.Circuit.Elements[load].Terminals;
            path.RemoveAll(place => place.Output == terminals[0].Node);
            path.Add(("Load", terminals[0].Node));
        }
        return [.. path];
    }
}
