using NetAudit.Reference.Ngspice;
using Xunit;

namespace NetAudit.Tests.Tubes;

/// <summary>The text of <c>tubes.lib</c> means the same to ngspice as the laws that were fitted.</summary>
public class NgspiceAgreementTests
{
    // ngspice adds its gmin of 1 pS, so up to a nanoampere at 1000 V.
    private const double Leakage = 2e-9;

    public static TheoryData<string> Types => [.. FittedTubes.Types];

    internal static IReadOnlyList<TubeVoltages> Grid { get; } =
    [
        .. from plate in (double[])[-1000, -20, 0, 3, 40, 150, 300, 1000]
        from grid in (double[])[-200, -30, -8, -3, -1.2, -0.4, 0, 2, 1000]
        from screen in (double[])[-100, 0, 80, 250, 450]
        select new TubeVoltages(plate, grid, screen),
    ];

    [Theory]
    [MemberData(nameof(Types))]
    public void Ngspice_OverAGridOfVoltages_GivesTheFittedLaw(string type)
    {
        Assert.SkipUnless(NgspiceSession.IsPresent, "libngspice is not installed");
        var found = NgspiceTubeBench.Measure(type, Grid);
        for (var i = 0; i < Grid.Count; i++)
        {
            var law = FittedCurrents.At(type, Grid[i]);
            AssertClose(law.Plate, found[i].Plate, $"{type} plate at {Grid[i]}");
            AssertClose(law.Grid, found[i].Grid, $"{type} grid at {Grid[i]}");
            AssertClose(law.Screen, found[i].Screen, $"{type} screen at {Grid[i]}");
        }
    }

    private static void AssertClose(double law, double found, string where) =>
        Assert.True(
            Math.Abs(found - law) <= 1e-6 * Math.Abs(law) + Leakage,
            $"{where}: {found}, law {law}"
        );
}
