using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Expectations.Levels;
using Xunit;

namespace NetAudit.Tests.Expectations.Levels;

/// <summary>Levels, stage figures and responses of the samples, against what must hold between them.</summary>
public class LevelTests
{
    public static TheoryData<string> Samples =>
        ["marram-5", "marram-20", "marram-50-a", "marram-50-b", "marram-line"];

    [Theory]
    [MemberData(nameof(Samples))]
    public void Of_Sample_ResponseAtTheSignalsFrequencyIsTheLevelAtTheLoad(string sample)
    {
        var amplifier = Read(sample);
        var (levels, _) = SignalLevels.Of(amplifier);
        var (response, _) = FrequencyResponse.Of(amplifier);
        Assert.NotNull(levels);
        Assert.NotNull(response);
        Assert.Equal(31, response.Points.Length);
        var load = Assert.Single(levels.Loads);
        Assert.Equal(
            load.Volts / levels.Volts,
            Complex.Abs(response.Reference.Gain),
            1e-9 * load.Volts / levels.Volts
        );
        foreach (var corner in new[] { response.Low, response.High }.OfType<double>())
        {
            Assert.Equal(
                response.Reference.Decibels - 10 * Math.Log10(2),
                Decibels(amplifier, response, corner),
                0.001
            );
        }
    }

    // Gains of stages that hand the signal on multiply to the gain of all; loads and inputs are those in place.
    [Fact]
    public void Of_Marram5_StageGainsMultiplyToTheLevels()
    {
        var amplifier = Read("marram-5");
        var levels = SignalLevels.Of(amplifier).Levels!;
        foreach (var stage in levels.Stages)
        {
            var (input, output) = (At(stage.Input), At(stage.Output));
            // The meter loads the levels, not the gains: two per cent at a volume control.
            Assert.Equal(output / input, Complex.Abs(stage.Gain), 0.03 * output / input);
        }

        double At(int node) => levels.Points.First(level => level.Point.Node == node).Volts;
    }

    // A tap of half the ohms has half the turns squared: the amplifier behind it looks half as large, feedback apart.
    [Fact]
    public void Of_OutputSelector_ChangesTheTap()
    {
        var amplifier = Read("marram-50-a");
        var (condition, diagnostics) = ConditionText.Read("4-ohm; load=4", amplifier);
        Assert.Empty(diagnostics);
        var usual = SignalLevels.Of(amplifier).Levels!.Loads.Single();
        var four = SignalLevels.Of(amplifier, condition).Levels!.Loads.Single();
        Assert.Equal(4, four.Ohms);
        Assert.InRange(four.Volts / usual.Volts, 0.65, 0.95);
        Assert.InRange(
            Complex.Abs(four.OutputImpedance) / Complex.Abs(usual.OutputImpedance),
            0.4,
            0.8
        );
    }

    // 1 / (2 pi R C): 10 kohm and 10 nF.
    [Fact]
    public void Response_LowPass_HasItsCorner()
    {
        var file = Path.Combine(
            Directory.CreateTempSubdirectory("netaudit-").FullName,
            "lowpass.cir"
        );
        File.WriteAllText(file, "low pass\nV1 a 0 0\nR1 a b 10k\nC1 b 0 10n\n.end\n");
        var amplifier = AmplifierReader.Read(file).Amplifier!;
        var (response, _) = FrequencyResponse.Of(
            amplifier,
            amplifier.Circuit.FindNode("a"),
            amplifier.Circuit.FindNode("b")
        );
        // The reference is 1 kHz, where the gain is already 1.445 dB down.
        Assert.NotNull(response?.High);
        var reference = 1 / (1 + Math.Pow(1000 / 1591.549, 2));
        var corner = 1591.549 * Math.Sqrt(2 / reference - 1);
        Assert.Equal(corner, response.High.Value, 0.01);
        Assert.Null(response.Low);
        Directory.Delete(Path.GetDirectoryName(file)!, recursive: true);
    }

    [Fact]
    public void Of_PowerOff_SaysWhyNot()
    {
        var amplifier = Read("marram-5");
        var (condition, _) = ConditionText.Read("off", amplifier);
        var (levels, problem) = SignalLevels.Of(amplifier, condition);
        Assert.Null(levels);
        Assert.Contains("power off", problem!.Message, StringComparison.Ordinal);
    }

    private static double Decibels(
        Amplifier amplifier,
        FrequencyResponse response,
        double frequency
    )
    {
        var levels = SignalLevels.Of(amplifier, frequency: frequency).Levels!;
        return 20 * Math.Log10(levels.Loads.Single().Volts / levels.Volts);
    }

    private static Amplifier Read(string sample) =>
        AmplifierReader.Read(Repository.File($"sample-circuits/{sample}.cir")).Amplifier!;
}
