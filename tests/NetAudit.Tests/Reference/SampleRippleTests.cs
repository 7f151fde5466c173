using System.Globalization;
using System.Numerics;
using System.Text.RegularExpressions;
using NetAudit.Circuits;
using NetAudit.Reference.Ngspice;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using NetAudit.Simulation.Supplies;
using NetAudit.Tests.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>
/// Rails and ripple of a whole amplifier with its rectifier tube, against ngspice 39's transient of the netlist in which transformer,
/// plates and reservoir stand in place of the source.
/// </summary>
public partial class SampleRippleTests
{
    private const double Mains = 60;
    private const double Settled = 2.5;
    private const int Periods = 6;
    private const int Harmonics = 6;

    // What ngspice's steps leave at these tolerances.
    private const double NoiseVolts = 50e-6;
    private static readonly string[] Nodes = ["b1", "b2", "s3", "p3", "out"];

    [Fact]
    public void Ripple_OfSampleWithItsSupply_IsThatOfNgspicesTransient()
    {
        NgspiceRequirement.Check();
        var netlist = Repository.File("sample-circuits/marram-5.cir");
        var sheet = Repository.File("sample-circuits/marram-5-supply.sheet.toml");
        var amplifier = AmplifierReader.Read(netlist, sheet).Amplifier!;
        var supply = amplifier
            .Circuit.Elements.OfType<VoltageSource>()
            .Single(v => v.Supply is not null);
        var workspace = new Workspace(CompiledCircuit.Compile(amplifier.Circuit));
        Assert.True(workspace.Solve([]).Converged);
        int[] nodes = [.. Nodes.Select(amplifier.Circuit.FindNode)];
        var ripple = new double[nodes.Length];
        Assert.True(
            new RippleReader(new SmallSignalWorkspace(workspace)).Read(
                [.. nodes.Select(node => new LevelProbe(node, 0))],
                [],
                ripple,
                []
            )
        );
        var theirs = Theirs(File.ReadAllText(netlist), supply.Supply!);
        for (var i = 0; i < nodes.Length; i++)
        {
            var (mean, rms) = theirs[i];
            var ours = workspace.Volts[nodes[i]];
            Assert.True(
                Math.Abs(ours - mean) < 0.01 * Math.Abs(mean) + 1e-3,
                $"{Nodes[i]}: {ours} V, ngspice {mean} V"
            );
            Assert.True(
                Math.Abs(ripple[i] - rms) < 0.03 * rms + NoiseVolts,
                $"{Nodes[i]}: {ripple[i]} V of ripple, ngspice {rms} V"
            );
        }
    }

    private static (double Mean, double Rms)[] Theirs(string netlist, RectifierSupply supply)
    {
        using var folder = new NgspiceFolder(RepositoryFiles.TubeLibrary);
        var path = folder.Add("ripple.cir", WithRectifier(netlist, supply));
        return NgspiceSession.Use(session =>
        {
            session.LoadFile(path);
            session.Command("option reltol=1e-5");
            var stop = Settled + Periods / Mains;
            Assert.True(session.Transient(stop / 1000, stop, 1 / Mains / 200), session.Log);
            var times = session.Values("time");
            return Nodes.Select(node => Figures(times, session.Values(node))).ToArray();
        });
    }

    private static string WithRectifier(string netlist, RectifierSupply supply)
    {
        var plate = (PlateRectifier)supply.Law;
        string[] cards =
        [
            Text($"vsec sec 0 sin(0 {Math.Sqrt(2) * supply.Secondary} {Mains})"),
            "esec sec2 0 0 sec 1",
            Text($"rw1 sec a1 {supply.WindingOhms}"),
            Text($"rw2 sec2 a2 {supply.WindingOhms}"),
            RectifierAgainstNgspiceTests.Plate("1", "a1", plate, 1),
            RectifierAgainstNgspiceTests.Plate("2", "a2", plate, 1),
            "vrk rk ht 0",
        ];
        var replaced = Source().Replace(netlist, string.Join('\n', cards));
        Assert.NotEqual(netlist, replaced);
        return Sine().Replace(replaced, "");
    }

    // Mean, and RMS of the first harmonics of the mains, over whole periods, on straight lines between their points. What a rail still
    // creeps and what the steps' errors add is no ripple. Counted from the last value, since the first step may be cut: the mean must not
    // leak into the harmonics.
    private static (double Mean, double Rms) Figures(double[] times, double[] volts)
    {
        var sums = new Complex[Harmonics + 1];
        var span = 0.0;
        var from = times[^1] - Periods / Mains;
        for (var i = 1; i < times.Length; i++)
        {
            if (times[i - 1] < from)
            {
                continue;
            }
            var width = times[i] - times[i - 1];
            var turns = Mains * (times[i] + times[i - 1]) / 2;
            for (var k = 0; k <= Harmonics; k++)
            {
                sums[k] += Complex.FromPolarCoordinates(
                    width * ((volts[i] + volts[i - 1]) / 2 - volts[^1]),
                    -2 * Math.PI * k * turns
                );
            }
            span += width;
        }
        var squares = sums.Skip(1).Sum(sum => Math.Pow(sum.Magnitude / span, 2));
        return (volts[^1] + sums[0].Real / span, Math.Sqrt(2 * squares));
    }

    [GeneratedRegex(@"^VHT .*$", RegexOptions.Multiline)]
    private static partial Regex Source();

    [GeneratedRegex(@"SIN\(0 7\.07m 1k\)")]
    private static partial Regex Sine();

    private static string Text(FormattableString text) =>
        text.ToString(CultureInfo.InvariantCulture);
}
