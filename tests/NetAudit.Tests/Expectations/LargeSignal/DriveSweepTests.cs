using NetAudit.Circuits;
using NetAudit.Expectations.LargeSignal;
using NetAudit.Simulation;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Expectations.LargeSignal;

public class DriveSweepTests
{
    // A gain of 10 that a pair of ideal limits cuts at 5 V, behind a slow capacitor: time constant 1 s.
    private const string Limiter =
        "VIN in 0 SIN(0 1 1k)\nC1 in a 10u\nR1 a 0 100k\nBOUT out 0 V={min(max(10*V(a),-5),5)}\nRLOAD out 0 10\n";

    private static (Amplifier Amplifier, DriveSetup Setup) Read(string cards)
    {
        var amplifier = Amplifiers.Of(cards);
        var (setup, reason) = DriveSetup.Find(amplifier, source: "VIN", load: "RLOAD");
        Assert.Null(reason);
        return (amplifier, setup!);
    }

    /// <summary>
    /// A sine of peak p cut at 1 has the fundamental (2/pi)(asin(1/p)/1 p + sqrt(1 - 1/p²)) (Fourier integral); it is down by 1 dB, or has
    /// 5 % distortion, shortly above p = 1.
    /// </summary>
    [Fact]
    public void Clipping_OfLimiter_BeginsShortlyAboveItsLimit()
    {
        var (amplifier, setup) = Read(Limiter);
        var sweep = DriveSweep.Of(
            amplifier,
            setup,
            new DriveLimits { From = 10e-3 },
            cancellationToken: TestContext.Current.CancellationToken
        );
        Assert.All(sweep.Points, point => Assert.True(point.Settled));
        Assert.NotNull(sweep.Clipping);
        var peak = sweep.Clipping.Point.Drive * Math.Sqrt(2) * 10 / 5;
        Assert.InRange(peak, 1.02, 1.2);
        Assert.Equal(ClippingSign.Distortion, sweep.Clipping.Sign);
        foreach (var point in sweep.Points)
        {
            var over = Math.Max(1, point.Drive * Math.Sqrt(2) * 2);
            var share =
                2 / Math.PI * (Math.Asin(1 / over) + Math.Sqrt(1 - 1 / (over * over)) / over);
            Assert.Equal(10 * share, point.Gain, 0.05);
        }
    }

    [Fact]
    public void Watts_BelowClipping_AreVoltsSquaredOverOhms()
    {
        var (amplifier, setup) = Read(Limiter);
        var sweep = DriveSweep.Of(
            amplifier,
            setup,
            new DriveLimits { From = 0.1, To = 0.1 },
            cancellationToken: TestContext.Current.CancellationToken
        );
        Assert.Equal(0.1, Assert.Single(sweep.Points).Watts!.Value, 1e-4);
    }

    [Fact]
    public void Sweep_Cancelled_Stops()
    {
        var (amplifier, setup) = Read(Limiter);
        Assert.ThrowsAny<OperationCanceledException>(() =>
            DriveSweep.Of(
                amplifier,
                setup,
                new DriveLimits(),
                cancellationToken: new CancellationToken(canceled: true)
            )
        );
    }

    /// <summary>
    /// Beside the load a resonance of 703 Hz with a negative resistance (B. van der Pol's oscillator): at rest it would repeat itself, but
    /// it does not stay at rest.
    /// </summary>
    [Fact]
    public void Level_OfUnitThatOscillates_IsNotCalledSettled()
    {
        var (amplifier, setup) = Read(
            "VIN in 0 SIN(0 1 1k)\nR1 in out 10\nRLOAD out 0 10\nL1 t 0 51.26m\nC1 t 0 1u\nB1 0 t I={1m*V(t)-1m*V(t)^3}\n"
        );
        var sweep = DriveSweep.Of(
            amplifier,
            setup,
            new DriveLimits { From = 0.1, To = 0.1 },
            cancellationToken: TestContext.Current.CancellationToken
        );
        Assert.False(Assert.Single(sweep.Points).Settled);
    }

    [Fact]
    public void Points_OfCircuitThatStoresNothing_AreSettled()
    {
        var (amplifier, setup) = Read("VIN in 0 SIN(0 1 1k)\nR1 in out 30\nRLOAD out 0 10\n");
        var sweep = DriveSweep.Of(
            amplifier,
            setup,
            new DriveLimits { From = 1, To = 1 },
            cancellationToken: TestContext.Current.CancellationToken
        );
        var point = Assert.Single(sweep.Points);
        Assert.True(point.Settled);
        // A quarter of 1 V in 10 ohm.
        Assert.Equal(0.00625, point.Watts!.Value, 6);
    }

    [Fact]
    public void Setup_WithoutSource_SaysSo()
    {
        var (setup, reason) = DriveSetup.Find(Amplifiers.Of("V1 a 0 1\nR1 a 0 1k\n"));
        Assert.Null(setup);
        Assert.NotNull(reason);
    }

    [Fact]
    public void Setup_WithoutStageOrLoad_SaysSo()
    {
        var amplifier = Amplifiers.Of("V1 a 0 1\nR1 a 0 1k\n");
        Assert.Contains(
            "load",
            DriveSetup.Find(amplifier, source: "V1").Reason!,
            StringComparison.Ordinal
        );
        Assert.NotNull(DriveSetup.Find(amplifier, source: "V1", load: "R1").Setup);
    }

    [Fact]
    public void Surge_OfResistorAndCapacitor_RisesToTheSourceAndStartsWithItsShortCircuitCurrent()
    {
        var amplifier = Amplifiers.Of("VHT ht 0 DC 100\nR1 ht b1 100\nC1 b1 0 100u\nR2 b1 0 10k\n");
        var surge = SwitchOnSurge.Of(
            amplifier,
            coldTubes: true,
            TestContext.Current.CancellationToken
        );
        Assert.Null(surge.Reason);
        Assert.True(surge.Settled);
        var source = Assert.Single(surge.Sources);
        // 1 A less what the capacitor takes up in the rise of 0.1 ms, 0.5 %.
        Assert.InRange(source.PeakAmps, 0.99, 1.0);
    }

    /// <summary>A faulty unit is driven as it is: with half the load resistance bridged on, the watts double.</summary>
    [Fact]
    public void Watts_WithBridgeAcrossLoad_AreThoseOfTheLoadAlone()
    {
        var (amplifier, setup) = Read(
            Limiter.Replace(
                "RLOAD out 0 10",
                "RS out o2 10\nRLOAD o2 0 10",
                StringComparison.Ordinal
            )
        );
        var workspace = new Workspace(CompiledCircuit.Compile(amplifier.Circuit));
        workspace.Bridge(amplifier.Circuit.FindNode("o2"), 0, 10);
        workspace.Solve([]);
        var sweep = DriveSweep.Of(
            amplifier,
            setup,
            new DriveLimits { From = 0.1, To = 0.1 },
            workspace,
            null,
            TestContext.Current.CancellationToken
        );
        // 1 V over 10 + 5 ohms: a third of a volt over 10.
        Assert.Equal(1.0 / 90, Assert.Single(sweep.Points).Watts!.Value, 1e-5);
    }
}
