using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Expectations.LargeSignal;
using NetAudit.Reference.Ngspice;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>
/// Watts and distortion in the steady state against ngspice's .tran (libngspice 39, reltol 1e-5) after so many periods that the slow
/// capacitors have settled.
/// </summary>
public class DriveAgainstNgspiceTests
{
    private const double Period = 1e-3;

    [Theory]
    [InlineData("marram-5", "7.07m", 5e-3, 400)]
    [InlineData("marram-5", "7.07m", 20e-3, 400)]
    [InlineData("marram-line", "141m", 0.1, 150)]
    [InlineData("marram-line", "141m", 0.35, 150)]
    public void PowerAndDistortion_OfSample_AreThoseOfNgspice(
        string sample,
        string written,
        double level,
        int periods
    )
    {
        NgspiceRequirement.Check();
        var amplifier = SampleCircuitTests.Read(sample + ".cir");
        var (setup, _) = DriveSetup.Find(amplifier);
        var sweep = DriveSweep.Of(
            amplifier,
            setup!,
            new DriveLimits { From = level, To = level },
            cancellationToken: TestContext.Current.CancellationToken
        );
        var ours = Assert.Single(sweep.Points);
        Assert.True(ours.Settled);
        var theirs = Theirs(amplifier, setup!, sample, written, level, periods);
        var ohms = ((Resistor)amplifier.Circuit.Elements[setup!.Load]).Ohms;
        var watts = theirs.Total * theirs.Total / ohms;
        Assert.InRange(ours.Watts!.Value / watts, 0.98, 1.02);
        Assert.InRange(ours.Load!.Fundamental / theirs.Fundamental, 0.99, 1.01);
        Assert.InRange(
            ours.Load.Distortion,
            theirs.Distortion * 0.97 - 1e-4,
            theirs.Distortion * 1.03 + 1e-4
        );
    }

    private static Spectrum Theirs(
        Amplifier amplifier,
        DriveSetup setup,
        string sample,
        string written,
        double level,
        int periods
    )
    {
        var text = File.ReadAllText(Path.Combine(RepositoryFiles.Samples, sample + ".cir"))
            .Replace(
                $"SIN(0 {written} 1k)",
                string.Create(CultureInfo.InvariantCulture, $"SIN(0 {level * Math.Sqrt(2):R} 1k)"),
                StringComparison.Ordinal
            );
        using var folder = new NgspiceFolder(RepositoryFiles.TubeLibrary);
        var path = folder.Add("driven.cir", text);
        var node = amplifier.Circuit.Nodes[setup.Path[^1].Node].Name.ToLowerInvariant();
        return NgspiceSession.Use(session =>
        {
            session.LoadFile(path);
            session.Command("option reltol=1e-5");
            var stop = periods * Period;
            Assert.True(session.Transient(stop / 1000, stop, Period / 128), session.Log);
            var (times, volts) = (session.Values("time"), session.Values(node));
            var samples = new double[256];
            var at = 1;
            for (var i = 0; i < samples.Length; i++)
            {
                var time = stop - Period + Period * i / samples.Length;
                while (times[at] < time)
                {
                    at++;
                }
                var share = (time - times[at - 1]) / (times[at] - times[at - 1]);
                samples[i] = volts[at - 1] + share * (volts[at] - volts[at - 1]);
            }
            return Spectrum.Of(samples);
        });
    }
}
