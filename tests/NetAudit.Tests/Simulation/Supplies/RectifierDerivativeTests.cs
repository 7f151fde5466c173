using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Simulation.Supplies;

public class RectifierDerivativeTests
{
    private static readonly PlateRectifier Tube = new(0.0035667, 1.5, 0.25);

    public static TheoryData<string, RectifierCircuit, double, double, double> Cases()
    {
        var data = new TheoryData<string, RectifierCircuit, double, double, double>();
        foreach (var law in new[] { "tube", "silicon" })
        {
            foreach (var circuit in Enum.GetValues<RectifierCircuit>())
            {
                data.Add(law, circuit, 330, 40e-6, 1);
                data.Add(law, circuit, 250, 1e-6, 1);
                data.Add(law, circuit, 30, 40e-6, 0.3);
                data.Add(law, circuit, 395, 10e-6, 0.9);
            }
        }
        return data;
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void Differentiate_EveryInput_IsTheFiniteDifference(
        string law,
        RectifierCircuit circuit,
        double volts,
        double farads,
        double second
    )
    {
        var rectifier = new RectifierSteadyState(
            law == "tube" ? Tube : RectifierLaw.SolidState,
            circuit,
            60,
            1 / 1000.0
        );
        var at = new RectifierInput
        {
            Volts = volts,
            Secondary = 285,
            Ohms = 120,
            First = 1,
            Second = second,
            Farads = farads,
            ReservoirOhms = 2,
        };
        Assert.True(rectifier.Solve(at));
        var slopes = rectifier.Differentiate();
        Assert.Equal(slopes.Volts, rectifier.ByVolts, 1e-9 * Math.Abs(slopes.Volts) + 1e-14);
        Check(slopes.Volts, x => at with { Volts = x }, at.Volts);
        Check(slopes.Secondary, x => at with { Secondary = x }, at.Secondary);
        Check(slopes.Ohms, x => at with { Ohms = x }, at.Ohms);
        Check(slopes.First, x => at with { First = x }, at.First);
        if (circuit != RectifierCircuit.HalfWave)
        {
            Check(slopes.Second, x => at with { Second = x }, at.Second);
        }
        Check(slopes.Farads, x => at with { Farads = x }, at.Farads);
        Check(slopes.ReservoirOhms, x => at with { ReservoirOhms = x }, at.ReservoirOhms);

        void Check(double slope, Func<double, RectifierInput> move, double x)
        {
            var step = 1e-5 * x;
            double Amps(double value)
            {
                Assert.True(rectifier.Solve(move(value)));
                return rectifier.Amps;
            }
            var difference =
                (8 * (Amps(x + step) - Amps(x - step)) - Amps(x + 2 * step) + Amps(x - 2 * step))
                / (12 * step);
            Assert.Equal(
                difference,
                slope,
                1e-5 * Math.Abs(slope) + 1e-9 * Math.Abs(rectifier.Amps) / x + 1e-14 / x
            );
        }
    }

    [Fact]
    public void Solve_DrawnInputs_AlwaysSettles()
    {
        var random = new Random(7);
        var failed = new List<string>();
        for (var i = 0; i < 3000; i++)
        {
            var law = random.Next(2) == 0 ? (RectifierLaw)Tube : RectifierLaw.SolidState;
            var circuit = (RectifierCircuit)random.Next(3);
            var smoothing = random.Next(3) switch
            {
                0 => 0,
                1 => 1e-2,
                _ => 1e-4,
            };
            var rectifier = new RectifierSteadyState(law, circuit, 50, smoothing);
            double Decades(double low, double high) =>
                low * Math.Pow(high / low, random.NextDouble());
            double Factor() =>
                random.Next(3) switch
                {
                    0 => 1,
                    1 => 1e-9,
                    _ => Decades(0.01, 2),
                };
            var input = new RectifierInput
            {
                Volts = 700 * random.NextDouble() - 150,
                Secondary = Decades(1, 400),
                Ohms = random.Next(4) == 0 ? Decades(1e4, 1e10) : Decades(0.1, 1e4),
                First = Factor(),
                Second = Factor(),
                Farads = random.Next(5) == 0 ? 0 : Decades(1e-9, 1e-2),
                ReservoirOhms = random.Next(3) switch
                {
                    0 => Decades(1e-3, 1e10),
                    _ => 0,
                },
            };
            if (!rectifier.Solve(input) || !double.IsFinite(rectifier.Amps))
            {
                failed.Add($"{law} {circuit} {smoothing} {input}");
            }
        }
        Assert.True(failed.Count == 0, $"{failed.Count}: {string.Join('\n', failed.Take(5))}");
    }
}
