using NetAudit.Reference.Ngspice;
using Xunit;

namespace NetAudit.Tests.Tubes;

/// <summary>The project's solver and ngspice give the same electrode currents from the same library text.</summary>
public class OwnSolverAgreementTests
{
    // Both add a conductance of 1 pS here and there.
    private const double Leakage = 2e-9;

    public static TheoryData<string> Types => [.. FittedTubes.Types];

    [Theory]
    [MemberData(nameof(Types))]
    public void OwnSolver_OverAGridOfVoltages_AgreesWithNgspice(string type)
    {
        Assert.SkipUnless(NgspiceSession.IsPresent, "libngspice is not installed");
        var voltages = NgspiceAgreementTests.Grid;
        var theirs = NgspiceTubeBench.Measure(type, voltages);
        var ours = OwnTubeBench.Measure(type, voltages);
        for (var i = 0; i < voltages.Count; i++)
        {
            AssertClose(theirs[i].Plate, ours[i].Plate, $"{type} plate at {voltages[i]}");
            AssertClose(theirs[i].Grid, ours[i].Grid, $"{type} grid at {voltages[i]}");
            AssertClose(theirs[i].Screen, ours[i].Screen, $"{type} screen at {voltages[i]}");
        }
    }

    private static void AssertClose(double theirs, double ours, string where) =>
        Assert.True(
            Math.Abs(ours - theirs) <= 1e-6 * Math.Abs(theirs) + Leakage,
            $"{where}: ngspice {theirs}, ours {ours}"
        );
}
