using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Simulation.Supplies;

public class RectifierTests
{
    private const double Peak = 1000;
    private const double Frequency = 50;
    private const double Load = 10e3;

    // So sharp that at a kilovolt it is ideal.
    private static readonly RectifierLaw Ideal = new JunctionRectifier(1e-12, 1e-3, 0);

    public static TheoryData<double, double, double, double> Chart()
    {
        var data = new TheoryData<double, double, double, double>();
        foreach (var row in TestTable.Read("supplies/rectifier.csv"))
        {
            data.Add(
                Number(row["rs_over_rl"]),
                Number(row["omega_c_rl"]),
                Number(row["vdc_over_vpeak"]),
                Number(row["ripple_pp_over_vpeak"])
            );
        }
        return data;
    }

    [Theory]
    [MemberData(nameof(Chart))]
    public void Volts_IdealDiodes_AreThoseOfTheTable(
        double source,
        double reservoir,
        double average,
        double ripple
    )
    {
        // The extremes are read off at the steps, so a coarse one misses the corner a little: fine steps for the table's own accuracy.
        var (_, coarse) = Loaded(source, reservoir);
        Assert.Equal(average, coarse / Peak, 0.002);
        var (rectifier, volts) = Loaded(source, reservoir, 1000);
        Assert.Equal(average, volts / Peak, 0.002);
        Assert.Equal(ripple, rectifier.RipplePeakToPeak / Peak, 0.002);
    }

    [Fact]
    public void Volts_LargeReservoir_AgreeWithTheChartAsRemembered()
    {
        foreach (var row in TestTable.Read("supplies/rectifier-chart.csv"))
        {
            var (_, volts) = Loaded(Number(row["rs_over_rl"]), 80);
            Assert.Equal(Number(row["vdc_over_vpeak"]), volts / Peak, 0.015);
        }
    }

    [Theory]
    [InlineData(RectifierCircuit.HalfWave, 0)]
    [InlineData(RectifierCircuit.FullWave, 0)]
    [InlineData(RectifierCircuit.FullWave, 1e-9)]
    [InlineData(RectifierCircuit.Bridge, 0)]
    public void Volts_HardlyAnyLoad_AreThePeak(RectifierCircuit circuit, double second)
    {
        var rectifier = new RectifierSteadyState(Ideal, circuit, Frequency);
        var volts = LoadedRectifier.Volts(
            rectifier,
            Input(100, 20e-6) with
            {
                Second = second == 0 ? 1 : second,
            },
            1e9
        );
        Assert.Equal(Peak, volts, 1e-3 * Peak);
        Assert.Equal(volts / 1e9, rectifier.Amps, 1e-12);
    }

    [Fact]
    public void Volts_NoResistanceAndMuchCapacitance_AreThePeak()
    {
        var rectifier = new RectifierSteadyState(Ideal, RectifierCircuit.FullWave, Frequency);
        Assert.Equal(Peak, LoadedRectifier.Volts(rectifier, Input(0, 1), Load), 1e-3 * Peak);
    }

    // Without a reservoir the average of a rectified sine, 2/pi of the peak, less the divider.
    [Fact]
    public void Volts_NoReservoir_AreTheMeanOfTheSine()
    {
        var rectifier = new RectifierSteadyState(Ideal, RectifierCircuit.FullWave, Frequency);
        var volts = LoadedRectifier.Volts(rectifier, Input(100, 0), Load);
        Assert.Equal(2 / Math.PI * Peak * Load / (Load + 100), volts, 1e-3 * Peak);
    }

    [Fact]
    public void Waveform_LightRipple_IsASawtooth()
    {
        // I/(2fC) peak to peak when the conduction time is short; as a sawtooth sqrt(2)/pi/2 of it RMS at the fundamental.
        var (rectifier, _) = Loaded(1e-4, 2000);
        var sawtooth = rectifier.Amps / (2 * Frequency * 2000 / (2 * Math.PI * Frequency * Load));
        Assert.InRange(rectifier.RipplePeakToPeak, 0.8 * sawtooth, sawtooth);
        Assert.Equal(
            rectifier.RipplePeakToPeak / Math.PI / Math.Sqrt(2),
            rectifier.HarmonicVolts(2).Magnitude,
            0.1 * rectifier.RipplePeakToPeak / Math.PI
        );
        Assert.Equal(0, rectifier.HarmonicVolts(1).Magnitude);
        Assert.Equal(100, rectifier.RippleFrequency);
    }

    // The reservoir's own law, harmonic by harmonic: v = (i - iL)/(jwC), the load a resistance.
    [Fact]
    public void Harmonics_OfCurrentAndVoltage_FitReservoirAndLoad()
    {
        var (rectifier, _) = Loaded(0.02, 10);
        var farads = 10 / (2 * Math.PI * Frequency * Load);
        var admittance = new System.Numerics.Complex(
            1 / Load,
            2 * Math.PI * 2 * Frequency * farads
        );
        var expected = rectifier.HarmonicAmps(2) / admittance;
        Assert.True(
            (expected - rectifier.HarmonicVolts(2)).Magnitude < 2e-3 * expected.Magnitude,
            $"{expected} {rectifier.HarmonicVolts(2)}"
        );
    }

    [Fact]
    public void Solve_MoreSteps_ChangesLittle()
    {
        var law = new PlateRectifier(0.0024495, 1.3891, 0.25);
        foreach (var farads in new[] { 2e-6, 16e-6, 100e-6 })
        {
            double Volts(int steps) =>
                LoadedRectifier.Volts(
                    new(law, RectifierCircuit.FullWave, Frequency, halfSteps: steps),
                    Input(150, farads) with
                    {
                        Secondary = 250,
                    },
                    3e3
                );
            var exact = Volts(3000);
            Assert.Equal(exact, Volts(RectifierSteadyState.DefaultSteps), 1e-3 * exact);
        }
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static (RectifierSteadyState, double) Loaded(
        double source,
        double reservoir,
        int steps = RectifierSteadyState.DefaultSteps
    )
    {
        var rectifier = new RectifierSteadyState(
            Ideal,
            RectifierCircuit.FullWave,
            Frequency,
            halfSteps: steps
        );
        var farads = reservoir / (2 * Math.PI * Frequency * Load);
        return (rectifier, LoadedRectifier.Volts(rectifier, Input(source * Load, farads), Load));
    }

    private static RectifierInput Input(double ohms, double farads) =>
        new()
        {
            Secondary = Peak / Math.Sqrt(2),
            Ohms = ohms,
            First = 1,
            Second = 1,
            Farads = farads,
        };
}
