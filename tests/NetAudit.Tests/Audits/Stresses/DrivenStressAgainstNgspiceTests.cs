using System.Globalization;
using System.Text.RegularExpressions;
using NetAudit.Audits.Stresses;
using NetAudit.Circuits;
using NetAudit.Reference.Ngspice;
using NetAudit.Simulation;
using NetAudit.Tests.Circuits;
using NetAudit.Tests.Reference;
using Xunit;

namespace NetAudit.Tests.Audits.Stresses;

/// <summary>
/// Mean power of every resistor and peak volts of every capacitor of an amplifier at clipping against the last period of ngspice's .tran
/// (libngspice 39, reltol 1e-5) after so many periods that the slow capacitors have settled.
/// </summary>
public sealed class DrivenStressAgainstNgspiceTests
{
    private const double Period = 1e-3;

    [Theory]
    [InlineData("marram-5", 400)]
    [InlineData("marram-line", 150)]
    public void Values_AtClipping_AreThoseOfNgspice(string sample, int periods)
    {
        NgspiceRequirement.Check();
        var amplifier = Amplifiers.Sample(sample + ".cir");
        var workspace = new Workspace(CompiledCircuit.Compile(amplifier.Circuit));
        workspace.Solve([]);
        var plan = StressPlan.Of(amplifier);
        var driven = DrivenStresses.Of(
            amplifier,
            plan,
            workspace,
            TestContext.Current.CancellationToken
        );
        var text = Regex.Replace(
            File.ReadAllText(Path.Combine(RepositoryFiles.Samples, sample + ".cir")),
            @"SIN\(0 \S+ 1k\)",
            string.Create(
                CultureInfo.InvariantCulture,
                $"SIN(0 {driven.Drive!.Volts * Math.Sqrt(2):R} 1k)"
            )
        );
        using var folder = new NgspiceFolder(RepositoryFiles.TubeLibrary);
        var path = folder.Add("driven.cir", text);
        var differences = NgspiceSession.Use(session =>
        {
            session.LoadFile(path);
            session.Command("option reltol=1e-5");
            var stop = periods * Period;
            Assert.True(session.Transient(stop / 1000, stop, Period / 128), session.Log);
            var times = session.Values("time");
            var first = Array.FindIndex(times, time => time >= stop - Period);
            return plan
                .Points.Select((point, i) => (point, Ours: driven.Values![i]))
                // The supply's capacitors take seconds to settle.
                .Where(pair => amplifier.StageOf(pair.point.Item.Part) is not { IsSupply: true })
                .Select(pair =>
                    (
                        pair.point,
                        pair.Ours,
                        Theirs: Theirs(session, amplifier.Circuit, pair.point, times, first)
                    )
                )
                .Where(pair =>
                    pair.Theirs is { } theirs
                    && Math.Abs(pair.Ours - theirs) > 0.03 * Math.Abs(theirs) + Floor(pair.point)
                )
                .Select(pair =>
                    $"{pair.point.Item.Part} {pair.point.Item.Kind}: {pair.Ours:R}, ngspice {pair.Theirs:R}"
                )
                .ToArray();
        });

        Assert.Empty(differences);
    }

    private static double Floor(StressPoint point) => point is NodeVolts ? 5e-3 : 1e-8;

    private static double? Theirs(
        NgspiceSession session,
        Circuit circuit,
        StressPoint point,
        double[] times,
        int first
    )
    {
        switch (point)
        {
            case ResistorPower power:
                return power.Elements.Sum(element =>
                {
                    var resistor = (Resistor)circuit.Elements[element];
                    var volts = Across(
                        session,
                        circuit,
                        resistor.Terminals[0].Node,
                        resistor.Terminals[1].Node
                    );
                    return MeanSquare(volts, times, first) / resistor.Ohms;
                });
            case NodeVolts { Item.Kind: StressKind.Volts } node:
                return Across(session, circuit, node.A, node.B)[first..].Max(Math.Abs);
            default:
                return null;
        }
    }

    private static double[] Across(NgspiceSession session, Circuit circuit, int a, int b)
    {
        var (first, second) = (Node(a), Node(b));
        return [.. first.Zip(second, (x, y) => x - y)];

        double[] Node(int node) =>
            node == 0
                ? new double[session.Values("time").Length]
                : session.Values(circuit.Nodes[node].Name.ToLowerInvariant());
    }

    // By the trapezoidal rule over ngspice's own steps.
    private static double MeanSquare(double[] volts, double[] times, int first)
    {
        var sum = 0.0;
        for (var i = first + 1; i < volts.Length; i++)
        {
            sum +=
                (times[i] - times[i - 1]) * (volts[i] * volts[i] + volts[i - 1] * volts[i - 1]) / 2;
        }
        return sum / (times[^1] - times[first]);
    }
}
