using NetAudit.Simulation.Transients;
using Xunit;

namespace NetAudit.Tests.Simulation.Transients;

/// <summary>Which steps the integrator takes.</summary>
public sealed class StepControlTests
{
    private const string Charging = "R1 in out 1k\nC1 out 0 1u";
    private static readonly IntegratorOptions Usual = new(1e-4);

    [Fact]
    public void Times_OfARun_MeetItsEndAndEveryCorner()
    {
        var run = Run.Of("V1 in 0 PULSE(0 10 1m 0.1m 0.2m 1.5m 10m)\n" + Charging, 5e-3, Usual);

        Assert.True(run.Outcome.Completed);
        Assert.Equal(5e-3, run.Times[^1]);
        Assert.Equal(5e-3, run.Outcome.Time);
        foreach (var corner in (double[])[1e-3, 1.1e-3, 2.6e-3, 2.8e-3])
        {
            Assert.Equal(0, run.Times.Min(t => Math.Abs(t - corner)), 1e-14);
        }
        Assert.Equal(run.Times.Order(), run.Times);
        Assert.Equal(run.Times.Count - 1, run.Outcome.Steps);
        Assert.True(run.Outcome.Iterations >= 2 * run.Outcome.Steps - 20);
    }

    [Fact]
    public void Steps_AfterACorner_BeginAnewTenThousandTimesShorter()
    {
        var run = Run.Of("V1 in 0 PWL(0 0 1m 0 1.5m 10 5m 10)\n" + Charging, 5e-3, Usual);

        double[] steps = Steps(run);
        foreach (var corner in (double[])[1e-3, 1.5e-3])
        {
            var after = IndexOf(run, corner);
            // Two steps alike, of the rule that needs no derivatives.
            Assert.InRange(steps[after], 1e-10, 1.01e-8);
            Assert.Equal(steps[after], steps[after + 1], steps[after] * 1e-3);
            Assert.True(steps[after + 2] > 5 * steps[after + 1]);
        }
    }

    [Fact]
    public void Steps_ThatAreLonger_GrowByNoMoreThanTheyMay()
    {
        var run = Run.Of("V1 in 0 PULSE(0 10 0 1n 1n 1 2)\n" + Charging, 20e-3, Usual);

        double[] steps = Steps(run);
        var start = IndexOf(run, 1e-9) + 3;
        for (var i = start; i < steps.Length - 2; i++)
        {
            Assert.InRange(steps[i + 1] / steps[i], 0.1, 2.5 + 1e-6);
            Assert.InRange(steps[i], 0, 1e-4 * (1 + 1e-9));
        }
        // Once it has settled nothing asks for a shorter step than the longest.
        Assert.Equal(1e-4, steps[^10], 1e-9);
        // The last two are alike.
        Assert.InRange(steps[^1] / steps[^2], 0.49, 2.01);
    }

    [Fact]
    public void Steps_AtAThousandthOfTheTolerance_AreTenTimesAsMany()
    {
        int StepsAt(double tolerance) =>
            Run.Of(
                "V1 in 0 SIN(0 10 1k)\n" + Charging,
                10e-3,
                new IntegratorOptions(1) { Tolerance = tolerance }
            ).Outcome.Steps;

        // The error of a step of second order grows with its third power.
        Assert.InRange((double)StepsAt(1e-6) / StepsAt(1e-3), 7, 13);
    }

    [Fact]
    public void Steps_OfAConstantLength_AreAllAlikeButAfterCorners()
    {
        var run = Run.Of("V1 in 0 SIN(0 1 1k)\n" + Charging, 1e-3, Usual with { FixedStep = 1e-5 });

        double[] steps = Steps(run);
        Assert.Equal(0, run.Outcome.Rejected);
        // Two short ones to begin with; the last two share what is left.
        Assert.All(steps[2..^2], step => Assert.Equal(1e-5, step, 1e-12));
    }

    [Fact]
    public void Run_OfTooManySteps_EndsAndSaysSo()
    {
        var run = Run.Of("V1 in 0 SIN(0 1 1k)\n" + Charging, 1, Usual with { MostSteps = 50 });

        Assert.Equal(TransientFailure.TooManySteps, run.Outcome.Failure);
        Assert.False(run.Outcome.Completed);
        Assert.InRange(run.Outcome.Steps + run.Outcome.Rejected, 50, 52);
        Assert.InRange(run.Outcome.Time, 1e-9, 0.5);
    }

    [Fact]
    public void Run_AtRest_BeginsDischarged()
    {
        var rest = Run.Of("V1 in 0 10\n" + Charging, 5e-3, Usual, atRest: true);
        var settled = Run.Of("V1 in 0 10\n" + Charging, 5e-3, Usual);

        Assert.InRange(rest.Error("out", t => 10 * (1 - Math.Exp(-t / 1e-3))), 0, 2e-3);
        Assert.InRange(settled.Error("out", _ => 10), 0, 1e-6);
    }

    /// <summary>A jump that the source makes in no time: the capacitor holds its volts, the rest follows at once.</summary>
    [Fact]
    public void Step_OfASource_IsTakenUpWithoutRinging()
    {
        var run = Run.Of(
            "V1 in 0 PULSE(0 10 1m 1p 1p 1 2)\nR1 in mid 1k\nC1 mid 0 1u\nR2 in alone 1k\nR3 alone 0 1k",
            4e-3,
            Usual
        );

        Assert.InRange(
            run.Error("mid", t => t <= 1e-3 ? 0 : 10 * (1 - Math.Exp(-(t - 1e-3) / 1e-3))),
            0,
            2e-3
        );
        Assert.InRange(
            run.Error(
                "alone",
                t =>
                    t <= 1e-3 ? 0
                    : t > 1e-3 + 2e-12 ? 5
                    : 2.5
            ),
            0,
            2.5
        );
        Assert.All(run.Volts("mid"), v => Assert.InRange(v, -1e-6, 10));
    }

    /// <summary>A diode that opens: the step that met it is taken again, shorter, and the peak it keeps is the source's less its drop.</summary>
    [Fact]
    public void Rectifier_OfASine_KeepsThePeak()
    {
        var run = Run.Of(
            "V1 in 0 SIN(0 100 50)\nD1 in out DD\nC1 out 0 100u\nR1 out 0 10k\n.model DD D(IS=1n N=1.8)",
            60e-3,
            Usual
        );

        Assert.True(run.Outcome.Completed);
        Assert.InRange(run.Volts("out").Max(), 98.5, 99.9);
        // R C is a second: 1.5 % is lost from peak to peak.
        Assert.InRange(run.Volts("out")[^1], 96.5, 99.5);
        Assert.True(run.Outcome.Rejected > 0);
    }

    private static double[] Steps(Run run) =>
        [.. run.Times.Zip(run.Times.Skip(1), (from, to) => to - from)];

    private static int IndexOf(Run run, double time) =>
        Enumerable.Range(0, run.Times.Count).Single(i => Math.Abs(run.Times[i] - time) < 1e-14);
}
