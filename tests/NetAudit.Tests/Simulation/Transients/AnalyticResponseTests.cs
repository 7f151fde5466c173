using NetAudit.Simulation.Transients;
using Xunit;

namespace NetAudit.Tests.Simulation.Transients;

/// <summary>Responses of linear circuits in closed form (any textbook on circuit theory; derived beside each).</summary>
public class AnalyticResponseTests
{
    private static readonly IntegratorOptions Usual = new(1e-4);

    /// <summary>v = V (1 - exp(-t/RC)), RC = 1 ms.</summary>
    [Fact]
    public void Capacitor_ChargedThroughResistor_FollowsTheExponential()
    {
        var run = Run.Of("V1 in 0 PULSE(0 10 0 1n 1n 1 2)\nR1 in out 1k\nC1 out 0 1u", 5e-3, Usual);
        Assert.True(run.Outcome.Completed);
        Assert.InRange(run.Error("out", t => 10 * (1 - Math.Exp(-t / 1e-3))), 0, 2e-3);
    }

    /// <summary>i = V/R (1 - exp(-t R/L)), L/R = 1 ms.</summary>
    [Fact]
    public void Inductor_ThroughResistor_FollowsTheExponential()
    {
        var run = Run.Of(
            "V1 in 0 PULSE(0 10 0 1n 1n 1 2)\nR1 in out 100\nL1 out 0 100m",
            5e-3,
            Usual
        );
        Assert.True(run.Outcome.Completed);
        Assert.InRange(
            run.Error("out", t => t <= 1e-9 ? 10 * t / 1e-9 : 10 * Math.Exp(-t / 1e-3)),
            0,
            2e-3
        );
    }

    /// <summary>Series R L C from rest: v = V (1 - exp(-a t) (cos w t + a/w sin w t)), a = R/2L, w² = 1/LC - a².</summary>
    [Fact]
    public void ResonantCircuit_Stepped_RingsAsItMust()
    {
        var run = Run.Of(
            "V1 in 0 PULSE(0 1 0 1n 1n 1 2)\nR1 in a 10\nL1 a out 10m\nC1 out 0 1u",
            5e-3,
            Usual with
            {
                Tolerance = 1e-5,
            }
        );
        var decay = 10 / (2 * 10e-3);
        var pulsation = Math.Sqrt(1 / (10e-3 * 1e-6) - decay * decay);
        Assert.InRange(
            run.Error(
                "out",
                t =>
                    1
                    - Math.Exp(-decay * t)
                        * (Math.Cos(pulsation * t) + decay / pulsation * Math.Sin(pulsation * t))
            ),
            0,
            2e-3
        );
    }

    /// <summary>Halving a constant step quarters the error of a method of second order.</summary>
    [Fact]
    public void Error_WithStepHalved_FallsToAQuarter()
    {
        double ErrorAt(double step) =>
            Run.Of(
                    "V1 in 0 SIN(0 1 1k)\nR1 in a 10\nL1 a out 10m\nC1 out 0 1u\nR2 out 0 1k",
                    4e-3,
                    Usual with
                    {
                        FixedStep = step,
                    }
                )
                .Volts("out")[^1];
        // The reference is the same rule at a step sixteen times shorter: its own error is 1/256.
        var exact = ErrorAt(1e-5 / 16);
        var coarse = Math.Abs(ErrorAt(1e-5) - exact);
        var fine = Math.Abs(ErrorAt(0.5e-5) - exact);
        Assert.InRange(coarse / fine, 3.6, 4.4);
    }

    /// <summary>1:10 transformer, coupling 1 and coupling 0.9, loaded: the secondary's open volts are n k v1.</summary>
    [Theory]
    [InlineData(1.0)]
    [InlineData(0.9)]
    public void CoupledInductors_Unloaded_GiveTurnsRatioTimesCoupling(double coupling)
    {
        var run = Run.Of(
            $"V1 in 0 SIN(0 1 1k)\nR1 in a 1m\nL1 a 0 10m\nL2 out 0 1\nR2 out 0 1Meg\nK1 L1 L2 {coupling.ToString(System.Globalization.CultureInfo.InvariantCulture)}",
            3e-3,
            Usual
        );
        Assert.InRange(
            run.Error("out", t => 10 * coupling * Math.Sin(2 * Math.PI * 1e3 * t)),
            0,
            0.02
        );
    }

    /// <summary>What the source gives = what the resistor burns + what C and L hold (0.5 C v² + 0.5 L i²), to the accuracy of the sums.</summary>
    [Fact]
    public void Energy_OfRingingCircuit_IsConserved()
    {
        var run = Run.Of(
            "V1 in 0 SIN(0 10 2k)\nR1 in a 20\nL1 a out 10m\nC1 out 0 1u",
            5e-3,
            Usual with
            {
                Tolerance = 1e-5,
            },
            atRest: false,
            "L1"
        );
        var (given, burnt) = (0.0, 0.0);
        var amps = run.Recording.Amps(0);
        for (var i = 1; i < run.Times.Count; i++)
        {
            var h = run.Times[i] - run.Times[i - 1];
            given += h * (run.Volts("in")[i] * amps[i] + run.Volts("in")[i - 1] * amps[i - 1]) / 2;
            burnt += h * 20 * (amps[i] * amps[i] + amps[i - 1] * amps[i - 1]) / 2;
        }
        var held =
            0.5 * 1e-6 * Math.Pow(run.Volts("out")[^1], 2) + 0.5 * 10e-3 * amps[^1] * amps[^1];
        Assert.InRange((burnt + held) / given, 0.998, 1.002);
    }

    /// <summary>An LC circuit without loss keeps its swing: the rule is all but loss-free where the step resolves it.</summary>
    [Fact]
    public void LosslessCircuit_AfterHundredPeriods_KeepsItsEnergy()
    {
        var run = Run.Of(
            "I1 0 out PULSE(0 1m 0 1n 1n 1 2)\nL1 out 0 10m\nC1 out 0 1u",
            62.8e-3,
            Usual with
            {
                Tolerance = 1e-6,
            }
        );
        // v = I sqrt(L/C) sin(w t): 0.1 V.
        Assert.InRange(run.Volts("out").Skip(run.Times.Count * 9 / 10).Max(), 0.098, 0.1005);
    }
}
