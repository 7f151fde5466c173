using NetAudit.Circuits;
using NetAudit.Expectations;
using Xunit;

namespace NetAudit.Tests.Expectations.Charts;

/// <summary>What is drawn agrees with what is solved and with what was published.</summary>
public sealed class ChartTests
{
    private static Amplifier Read(string name) =>
        AmplifierReader.Read(Repository.File($"sample-circuits/{name}.cir")).Amplifier!;

    [Theory]
    [InlineData("marram-20")]
    [InlineData("marram-50-a")]
    [InlineData("marram-5")]
    public void PlateCurves_OperatingPoint_LiesOnItsCurveAndItsLoadLine(string name)
    {
        var amplifier = Read(name);
        var sections = amplifier
            .Parts.SelectMany(p => p.Sections)
            .Where(s => s.Plate >= 0 && s.Grid >= 0)
            .ToArray();
        Assert.NotEmpty(sections);

        foreach (var section in sections)
        {
            var curves = PlateCurves.Of(amplifier, section, TestContext.Current.CancellationToken);

            Assert.NotNull(curves);
            Assert.Equal(curves.Amps, curves.LoadAmps(curves.Volts), 9);
            // Between the curves for the grid voltages on both sides of its own.
            var above = curves
                .Curves.Where(c => c.GridVolts >= curves.GridVolts)
                .DefaultIfEmpty(curves.Curves[0])
                .MinBy(c => c.GridVolts)!;
            var below = curves
                .Curves.Where(c => c.GridVolts <= curves.GridVolts)
                .DefaultIfEmpty(curves.Curves[^1])
                .MaxBy(c => c.GridVolts)!;
            Assert.InRange(
                curves.Amps,
                Amps(below, curves.Volts) * 0.98,
                Amps(above, curves.Volts) * 1.02 + 1e-9
            );
        }
    }

    [Fact]
    public void PlateCurves_ResistiveLoad_GivesTheCurrentOfThePlateResistor()
    {
        // The current that the whole circuit lets through the plate resistor is the one the section gives on its bench.
        var amplifier = Read("marram-20");
        var expected = Expectation.Of(amplifier).Readings;
        var circuit = amplifier.Circuit;
        var section = amplifier.Parts.SelectMany(p => p.Sections).First(s => s.Instance == "XV1A");
        var plate = circuit.Pins[section.Plate].Node;
        var resistor = circuit
            .Elements.OfType<Resistor>()
            .First(r => r.Ohms is > 5e4 and < 3e5 && r.Terminals.Any(t => t.Node == plate));
        var rail = resistor.Terminals.First(t => t.Node != plate).Node;
        double Volts(int node) => expected.First(r => r.Point.Node == node).Mean;

        var curves = PlateCurves.Of(amplifier, section, TestContext.Current.CancellationToken)!;

        // The meter's load is in the expected readings, and what the tone network draws: 3 %.
        var amps = (Volts(rail) - Volts(plate)) / resistor.Ohms;
        Assert.InRange(curves.Amps, amps * 0.97, amps * 1.03);
        Assert.True(curves.HasLoadLine);
    }

    private static double Amps(PlateCurve curve, double volts) =>
        curve.Points.MinBy(point => Math.Abs(point.Volts - volts)).Amps;
}
