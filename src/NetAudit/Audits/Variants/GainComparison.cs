using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Audits.Variants;

/// <summary>Gain of one stage in two circuits at the frequency of the test signal.</summary>
/// <param name="Stage">Name of the stage in the first circuit.</param>
/// <param name="First">Gain in the first circuit, V/V.</param>
/// <param name="Second">Gain in the second circuit between the nodes that correspond, V/V.</param>
public sealed record GainDifference(string Stage, double First, double Second)
{
    /// <summary>Second against first, in decibels.</summary>
    public double Decibels => 20 * Math.Log10(Second / First);
}

/// <summary>Level at the output of two circuits at one frequency.</summary>
/// <param name="Frequency">Hertz.</param>
/// <param name="First">First circuit, volts per volt of the test signal.</param>
/// <param name="Second">Second circuit, likewise.</param>
public sealed record ResponseDifference(double Frequency, double First, double Second)
{
    /// <summary>Second against first, in decibels.</summary>
    public double Decibels => 20 * Math.Log10(Second / First);
}

/// <summary>Compares what two circuits do to a signal.</summary>
internal static class GainComparison
{
    /// <summary>Below this the level at a stage's input is no signal to speak of, volts per volt of the test signal.</summary>
    private const double LeastLevel = 1e-7;

    /// <summary>Stages of the first circuit that the signal passes, along its path.</summary>
    public static ImmutableArray<GainDifference> Stages(
        VariantMatching matching,
        VariantState first,
        VariantState second
    )
    {
        if (first.Signal is not { } mine || second.Signal is not { } its)
        {
            return [];
        }
        var there = matching.Nodes.ToDictionary(match => match.First, match => match.Second);
        var gains = ImmutableArray.CreateBuilder<GainDifference>();
        foreach (var stage in first.Amplifier.Stages.Where(stage => !stage.IsSupply))
        {
            if (
                stage.Input > 0
                && stage.Output > 0
                && there.TryGetValue(stage.Input, out var input)
                && there.TryGetValue(stage.Output, out var output)
                && Gain(first, mine, stage.Input, stage.Output) is { } one
                && Gain(second, its, input, output) is { } other
            )
            {
                gains.Add(new(stage.Name, one, other));
            }
        }
        return gains.ToImmutable();
    }

    /// <summary>Levels at the output: the live end of the test load, or the last stage's output.</summary>
    public static ImmutableArray<ResponseDifference> Output(
        VariantMatching matching,
        VariantState first,
        VariantState second
    )
    {
        var output = OutputOf(first.Amplifier);
        var match = matching.Nodes.FirstOrDefault(match => match.First == output);
        if (output <= 0 || match.Second <= 0)
        {
            return [];
        }
        return first.Signal is not { } mine || second.Signal is not { } its
            ? []
            :
            [
                .. SignalResponse.Frequencies.Select(frequency => new ResponseDifference(
                    frequency,
                    mine.At(output, frequency),
                    its.At(match.Second, frequency)
                )),
            ];
    }

    private static double? Gain(VariantState state, SignalResponse signal, int input, int output)
    {
        var frequency = SignalResponse.FrequencyOf(state.Amplifier);
        var level = signal.At(input, frequency);
        return level > LeastLevel ? signal.At(output, frequency) / level : null;
    }

    private static int OutputOf(Amplifier amplifier)
    {
        var load = amplifier
            .Parts.Where(part => part.Class == PartClass.Fixture)
            .SelectMany(part => part.Elements)
            .Select(element => amplifier.Circuit.Elements[element])
            .OfType<Resistor>()
            .SelectMany(resistor => resistor.Terminals)
            .Select(terminal => terminal.Node)
            .FirstOrDefault(node => node > 0, -1);
        return load > 0
            ? load
            : amplifier
                .Stages.Where(stage => !stage.IsSupply && stage.Output > 0)
                .Select(stage => stage.Output)
                .LastOrDefault(-1);
    }
}
