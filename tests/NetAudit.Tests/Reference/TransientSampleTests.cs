using System.Globalization;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>
/// The sample circuits under drive against ngspice's .tran (libngspice 39, reltol 1e-6): two periods of 1 kHz from the operating point,
/// below and above clipping.
/// </summary>
public class TransientSampleTests
{
    private const double Stop = 2e-3;
    private const double ShareOfSwing = 5e-3;
    private const double Floor = 1e-3;

    [Theory]
    [InlineData("marram-5.cir", "28m", 2e-3)]
    [InlineData("marram-5.cir", "28m", 50e-3)]
    [InlineData("marram-20.cir", "28m", 1e-3)]
    [InlineData("marram-20.cir", "28m", 10e-3)]
    [InlineData("marram-50-a.cir", "28m", 0.5e-3)]
    [InlineData("marram-50-a.cir", "28m", 5e-3)]
    [InlineData("marram-50-b.cir", "28m", 0.5e-3)]
    [InlineData("marram-50-b.cir", "28m", 5e-3)]
    [InlineData("marram-line.cir", "141m", 0.14)]
    [InlineData("marram-line.cir", "141m", 5)]
    public void Waveforms_OfSampleUnderDrive_AreThoseOfNgspice(
        string file,
        string written,
        double peak
    )
    {
        NgspiceRequirement.Check();
        var text = File.ReadAllText(Repository.File($"sample-circuits/{file}"))
            .Replace(
                $"SIN(0 {written} 1k)",
                string.Create(CultureInfo.InvariantCulture, $"SIN(0 {peak} 1k)"),
                StringComparison.Ordinal
            );
        var agreement = TransientAgreement.Of(text, Stop, theirStep: 1e-6, ourStep: 1e-3 / 40);
        Assert.Empty(agreement.Differences(ShareOfSwing, Floor));
    }
}
