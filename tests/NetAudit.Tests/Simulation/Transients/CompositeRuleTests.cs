using NetAudit.Simulation.Transients;
using Xunit;

namespace NetAudit.Tests.Simulation.Transients;

/// <summary>The two stages of a step on charges that are polynomials of time, for which they are exact or off by what is known.</summary>
public sealed class CompositeRuleTests
{
    private const double Step = 0.3;
    private const double Share = CompositeRule.Share;

    [Fact]
    public void FirstStage_IsTheTrapezoidalRule()
    {
        var rate = CompositeRule.Rate(Step);
        var (charge, amps, next) = (2.0, -1.5, 0.7);

        // q - q0 = (γh/2) (i + i0).
        var current = rate * next + CompositeRule.FirstHistory(rate, charge, amps);

        Assert.Equal(next - charge, Share * Step / 2 * (current + amps), 12);
    }

    [Fact]
    public void SecondStage_OfAParabola_IsExact()
    {
        static double Charge(double t) => 1 - 2 * t + 3 * t * t;
        var rate = CompositeRule.Rate(Step);

        var current =
            rate * Charge(Step)
            + CompositeRule.SecondHistory(rate, Charge(0), Charge(Share * Step));

        Assert.Equal(-2 + 6 * Step, current, 12);
    }

    [Fact]
    public void Error_OfACubic_IsWhatTheStepIsOffBy()
    {
        // i = 3 t² + t - 1, whose charge is t³ + t²/2 - t.
        static double Current(double t) => 3 * t * t + t - 1;
        var rate = CompositeRule.Rate(Step);
        var middle =
            (Current(Share * Step) - CompositeRule.FirstHistory(rate, 0, Current(0))) / rate;
        var end = (Current(Step) - CompositeRule.SecondHistory(rate, 0, middle)) / rate;
        var exact = Math.Pow(Step, 3) + Step * Step / 2 - Step;

        var error = CompositeRule.Error(Step, Current(0), Current(Share * Step), Current(Step));

        Assert.True(Math.Abs(end - exact) > 1e-4);
        Assert.Equal(Math.Abs(end - exact), Math.Abs(error), 1e-12);
    }

    [Fact]
    public void Error_OfAParabola_IsNothing() =>
        Assert.Equal(0, CompositeRule.Error(Step, 1, 1 + 2 * Share * Step, 1 + 2 * Step), 12);
}
