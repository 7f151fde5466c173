using NetAudit.Audits.Calibrations;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Expectations;
using NetAudit.Simulation;
using NetAudit.Tests.Audits.Variants;
using Xunit;

namespace NetAudit.Tests.Audits.Calibrations;

public sealed class CalibratorTests
{
    private const string Divider = "Divider\nV1 a 0 100\nR1 a b 10k\nR2 b 0 10k\n.end\n";

    [Fact]
    public void Fit_OneReadingTwoResistors_SharesTheShiftAsTheirTolerancesSay()
    {
        // By hand: both resistors have one sigma of 5 %/√3 in ln R, so b moves by ±25 V x sigma for each; the wall voltage by 50 V x 3 %.
        // A reading exact but for the meter moves each in proportion to its effect: R1 and R2 alike and opposite.
        var amplifier = VariantSamples.FromText(Divider);
        var readings = ReadingsFile.ReadText("at,value\nb,51.00\n", "r.csv", amplifier).Readings;

        var (result, _) = Calibrator.Fit(amplifier, readings, sameUnit: false);

        var moved = result!.Terms.ToDictionary(term => term.Name, term => term.Moved);
        Assert.Equal(-moved["R1"], moved["R2"], 0.01);
        Assert.True(moved["R2"] > 0);
        var ratio = 25 * (0.05 / Math.Sqrt(3)) / (50 * 0.03);
        Assert.Equal(ratio, moved["R2"] / moved["wall voltage"], 0.02);
        Assert.True(result.IsSound);
        Assert.Equal(51.0, result.Readings[0].After, 0.2);
        // What belongs to that day stays there.
        Assert.DoesNotContain(result.Calibration.Terms, term => term.Name == "wall voltage");
    }

    [Fact]
    public void Fit_KnownUnit_FindsItsStrengthsAndTightensTheUnitsOwnLimits()
    {
        var amplifier = VariantSamples.Read("marram-20");
        var readings = ReadingsOf(amplifier, "XV2A", 1.15);

        var (result, _) = Calibrator.Fit(amplifier, readings, sameUnit: true);

        Assert.True(result!.IsSound);
        var tube = result.Terms.Single(term => term.Name == "XV2A emission");
        Assert.True(tube.Moved > 0.5, $"moved {tube.Moved}");
        Assert.InRange(tube.Left, 0.01, 0.99);
        var calibrated = Calibrated(amplifier, result);
        var before = Expectation.Of(amplifier).Readings;
        var after = Expectation.Of(calibrated).Readings;
        // Every reading of the unit lies nearer, and within narrower limits.
        foreach (var (point, volts) in readings.Select(r => (r.Node, r.Value)))
        {
            var (old, now) = (
                before.First(r => r.Point.Node == point),
                after.First(r => r.Point.Node == point)
            );
            Assert.True(now.Sigma <= old.Sigma * 1.001);
            Assert.InRange(volts, now.Low, now.High);
        }
        Assert.True(readings.Sum(r => Miss(after, r)) < 0.5 * readings.Sum(r => Miss(before, r)));
    }

    [Fact]
    public void Fit_AnotherUnit_KeepsTheSpread()
    {
        var amplifier = VariantSamples.Read("marram-20");
        var readings = ReadingsOf(amplifier, "XV2A", 1.15);

        var (result, _) = Calibrator.Fit(amplifier, readings, sameUnit: false);

        Assert.All(result!.Calibration.Terms, term => Assert.Equal(1, term.Spread));
    }

    [Theory]
    [InlineData("marram-20-unit1")]
    [InlineData("marram-20-unit2")]
    public void Fit_FaultyUnit_IsRefused(string unit)
    {
        var amplifier = VariantSamples.Read("marram-20");
        var path = Repository.File($"sample-circuits/readings/{unit}.csv");

        var (result, _) = Calibrator.Fit(
            amplifier,
            ReadingsFile.Read(path, amplifier).Readings,
            sameUnit: false
        );

        Assert.False(result!.IsSound);
    }

    [Fact]
    public void Fit_HealthyUnitOfNgspice_IsSound()
    {
        var amplifier = VariantSamples.Read("marram-20");
        var path = Repository.File("sample-circuits/readings/marram-20-unit3.csv");

        var (result, _) = Calibrator.Fit(
            amplifier,
            ReadingsFile.Read(path, amplifier).Readings,
            sameUnit: false
        );

        Assert.True(result!.IsSound);
    }

    [Fact]
    public void Fit_PublishedVoltages_GoByTheirLimits()
    {
        var amplifier = VariantSamples.FromText(Divider);
        Amplifier With(double limits) =>
            amplifier with
            {
                Sheet = amplifier.Sheet with
                {
                    Published = [new PublishedVoltage("b", 54, null, limits)],
                },
            };

        var strict = Calibrator.Fit(With(0.01), null, sameUnit: false).Result!;
        var loose = Calibrator.Fit(With(0.20), null, sameUnit: false).Result!;

        Assert.True(strict.Readings[0].After > loose.Readings[0].After);
        Assert.True(loose.Readings[0].After > 50);
        // Published voltages hold on any day: the wall voltage is carried over.
        Assert.Contains(strict.Calibration.Terms, term => term.Name == "wall voltage");
    }

    [Fact]
    public void Fit_NothingPublished_SaysSo()
    {
        var (result, problem) = Calibrator.Fit(VariantSamples.FromText(Divider), null, false);

        Assert.Null(result);
        Assert.Contains("[published]", problem!.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void File_WrittenAndRead_IsTheSame()
    {
        var amplifier = VariantSamples.FromText(Divider);
        var calibration = new Calibration(
            "Divider",
            [new("R1", 1.03125, 0, 0.5), new("R2", 0.96875, 0, 1)]
        );

        var text = CalibrationFile.ToText(calibration, "a \"good\" unit", [1.1, -1.1]);
        var read = CalibrationFile.Apply(amplifier, text, "c.toml").Amplifier!.Sheet.Calibration!;

        Assert.Equal(calibration.Terms, read.Terms);
    }

    [Fact]
    public void File_OfAnotherCircuit_IsRefusedWithThePlace()
    {
        var (amplifier, diagnostics) = CalibrationFile.Apply(
            VariantSamples.FromText(Divider),
            "title = \"x\"\n[[term]]\nname = \"R9\"\nfactor = 1.1\n",
            "c.toml"
        );

        Assert.Null(amplifier);
        Assert.Equal(3, Assert.Single(diagnostics).Where!.Value.Line);
    }

    private static double Miss(IEnumerable<ExpectedReading> readings, Reading reading) =>
        Math.Abs(readings.First(r => r.Point.Node == reading.Node).Mean - reading.Value);

    private static Amplifier Calibrated(Amplifier amplifier, CalibrationResult result) =>
        amplifier with
        {
            Sheet = amplifier.Sheet with { Calibration = result.Calibration },
        };

    /// <summary>A unit whose one tube section is stronger, every point read by a perfect meter of the sheet's resistance.</summary>
    private static Reading[] ReadingsOf(Amplifier amplifier, string section, double strength)
    {
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        foreach (
            var (_, parameter) in compiled
                .Parameters.Select((parameter, index) => (parameter, index))
                .Where(pair =>
                    pair.parameter.Kind == ParameterKind.Strength
                    && amplifier.Circuit.Elements[pair.parameter.Index].Device == section
                )
        )
        {
            workspace.Set(parameter, strength);
        }
        Assert.True(workspace.Solve([]).Converged);
        var nodes = amplifier.Points.Select(point => point.Node).Distinct().ToArray();
        var volts = new double[nodes.Length];
        workspace.Read(
            [.. nodes.Select(node => new Probe(node, 0, amplifier.Sheet.Meter.LoadOhms(0)))],
            [],
            volts,
            []
        );
        return
        [
            .. nodes.Select(
                (node, i) =>
                    new Reading(
                        amplifier.Circuit.Nodes[node].Name,
                        node,
                        ReadingKind.Dc,
                        Math.Round(volts[i], 3),
                        null,
                        null,
                        null,
                        0,
                        Condition.Normal,
                        "",
                        default
                    )
            ),
        ];
    }
}
