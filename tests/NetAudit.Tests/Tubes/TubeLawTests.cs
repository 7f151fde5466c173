using Xunit;

namespace NetAudit.Tests.Tubes;

/// <summary>What every law must be for a solver to converge on it, over voltages far beyond any amplifier's.</summary>
public class TubeLawTests
{
    private static readonly double[] Plates =
    [
        -1000,
        -100,
        -10,
        -1,
        0,
        1,
        5,
        20,
        60,
        150,
        250,
        400,
        700,
        1000,
    ];
    private static readonly double[] Grids = [-1000, -100, -40, -15, -8, -4, -2, -1, -0.5, 0, 1, 4];
    private static readonly double[] Screens = [-1000, -20, 0, 2, 20, 100, 250, 400, 1000];

    public static TheoryData<string> Triodes =>
        [.. FittedTubes.Library.Triodes.Select(pair => pair.Type)];

    public static TheoryData<string> Pentodes =>
        [.. FittedTubes.Library.Pentodes.Select(pair => pair.Type)];

    [Theory]
    [MemberData(nameof(Triodes))]
    public void Triode_PlateCurrent_IsFiniteAndRisesWithPlateAndGrid(string type)
    {
        var tube = FittedTubes.Library.Triodes.Single(pair => pair.Type == type).Tube;
        foreach (var grid in Grids)
        {
            AssertRises(Plates, plate => tube.PlateAmps(plate, grid));
        }
        foreach (var plate in Plates)
        {
            AssertRises(Grids, grid => tube.PlateAmps(plate, grid));
        }
    }

    [Theory]
    [MemberData(nameof(Pentodes))]
    public void Pentode_Currents_AreFiniteAndRiseWithWhatDrivesThem(string type)
    {
        var tube = FittedTubes.Library.Pentodes.Single(pair => pair.Type == type).Tube;
        foreach (var screen in Screens)
        {
            foreach (var grid in Grids)
            {
                AssertRises(Plates, plate => tube.PlateAmps(plate, grid, screen));
            }
            foreach (var plate in Plates)
            {
                AssertRises(Grids, grid => tube.PlateAmps(plate, grid, screen));
                AssertRises(Grids, grid => tube.ScreenAmps(plate, grid, screen));
            }
        }
        foreach (var plate in Plates)
        {
            AssertRises(Screens, screen => tube.PlateAmps(plate, -2, screen));
            AssertRises(Screens, screen => tube.ScreenAmps(plate, -2, screen));
        }
    }

    [Theory]
    [MemberData(nameof(Pentodes))]
    public void Pentode_PlateWithoutVoltage_LeavesTheCurrentToTheScreen(string type)
    {
        var tube = FittedTubes.Library.Pentodes.Single(pair => pair.Type == type).Tube;
        var healthy = tube.ScreenAmps(250, -2, 200);
        var starved = tube.ScreenAmps(0, -2, 200);
        Assert.True(starved > 3 * healthy, $"{healthy} {starved}");
        Assert.True(tube.PlateAmps(0, -2, 200) < 0.15 * tube.PlateAmps(250, -2, 200));
    }

    // An electrode on which nothing but electrons arrive charges itself a few volts negative, until they no longer reach it: 10 V below
    // the cathode not even a leakage of 10 Gohm takes notice of what still arrives.
    [Theory]
    [MemberData(nameof(Triodes))]
    public void Triode_NegativePlate_CollectsNextToNothing(string type)
    {
        var tube = FittedTubes.Library.Triodes.Single(pair => pair.Type == type).Tube;
        Assert.InRange(tube.PlateAmps(-10, 0), 0, 1e-9);
    }

    [Theory]
    [MemberData(nameof(Pentodes))]
    public void Pentode_NegativePlateOrScreen_CollectsNextToNothing(string type)
    {
        var tube = FittedTubes.Library.Pentodes.Single(pair => pair.Type == type).Tube;
        Assert.InRange(tube.PlateAmps(-10, 0, 250), 0, 1e-9);
        Assert.InRange(tube.ScreenAmps(250, 0, -10), 0, 1e-9);
    }

    private static void AssertRises(double[] volts, Func<double, double> amps)
    {
        // Between the listed voltages too, closely enough to find a dip.
        var before = double.NegativeInfinity;
        for (var i = 0; i + 1 < volts.Length; i++)
        {
            for (var part = 0; part < 8; part++)
            {
                var at = volts[i] + (volts[i + 1] - volts[i]) * part / 8;
                var now = amps(at);
                Assert.True(double.IsFinite(now) && now >= 0, $"{now} at {at} V");
                // A femtoampere is where log(1 + x) runs out of digits.
                Assert.True(
                    now >= before * (1 - 1e-9) - 1e-15,
                    $"falls to {now} from {before} at {at} V"
                );
                before = now;
            }
        }
    }
}
