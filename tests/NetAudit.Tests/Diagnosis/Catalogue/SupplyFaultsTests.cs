using NetAudit.Diagnosis.Catalogue;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Catalogue;

public sealed class SupplyFaultsTests
{
    [Theory]
    [InlineData(250, 1)]
    [InlineData(-40, -1)]
    public void Supply_TooLittleTooMuchOrNothing_IsAFactorOfItsVolts(double volts, int more)
    {
        var listed = new Listed($"V1 in 0 {volts}\nR1 in a 10k\nR2 a 0 10k");
        var parameter = listed.Parameter(ParameterKind.Value, "V1");
        var low = listed["V1 gives nothing"];
        FaultClass[] all = [.. listed.Classes.Where(c => c.Parts.Contains("V1"))];

        Assert.All(
            all,
            c =>
                Assert.Equal(
                    new Alteration(AlterationKind.Parameter, parameter, 0, volts),
                    Assert.Single(c.Alterations)
                )
        );
        Assert.Equal(3, all.Length);
        Assert.Equal((0.25, 0.95, -more), Of(all[0]));
        Assert.Equal((1e-6, 1e-6, -more), Of(all[1]));
        Assert.Equal((1.05, 1.8, more), Of(all[2]));
        Assert.All(
            all,
            c => Assert.Equal((parameter, -1), (c.Direction.Parameter, c.Direction.SecondParameter))
        );
        Assert.Contains(low, all);

        static (double, double, int) Of(FaultClass c) =>
            (c.Range.Low, c.Range.High, c.Direction.Sign);
    }

    [Fact]
    public void Supply_OfNoVolts_HasNoFaults() =>
        Assert.DoesNotContain(
            new Listed("V1 in 0 12\nV2 a 0 0\nR1 in a 10k").Classes,
            c => c.Parts.Contains("V2")
        );
}
