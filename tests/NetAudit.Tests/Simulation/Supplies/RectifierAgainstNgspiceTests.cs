using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;
using NetAudit.Reference.Ngspice;
using NetAudit.Simulation.Supplies;
using NetAudit.Tests.Reference;
using Xunit;

namespace NetAudit.Tests.Simulation.Supplies;

/// <summary>The steady state against ngspice 39's transient of the same rectifier, from the circuit's own elements.</summary>
public class RectifierAgainstNgspiceTests
{
    private const double Limit = 0.02;

    // The reservoir carries the load; with smoothing a resistor to a large capacitor with a load of its own.
    [Theory]
    [InlineData(RectifierCircuit.FullWave, "5AR4", 300, 75, 47e-6, 2500, 50, 1)]
    [InlineData(RectifierCircuit.FullWave, "5AR4", 300, 75, 2e-6, 2500, 50, 1)]
    [InlineData(RectifierCircuit.FullWave, "5AR4", 300, 75, 47e-6, 2500, 50, 1e-6)]
    [InlineData(RectifierCircuit.FullWave, "5AR4", 300, 75, 47e-6, 2500, 50, 0.4)]
    [InlineData(RectifierCircuit.FullWave, "EZ81", 250, 230, 32e-6, 4000, 60, 1)]
    [InlineData(RectifierCircuit.HalfWave, "EZ81", 250, 230, 32e-6, 8000, 60, 1)]
    [InlineData(RectifierCircuit.FullWave, "", 340, 60, 100e-6, 3000, 60, 1)]
    [InlineData(RectifierCircuit.HalfWave, "", 50, 1200, 47e-6, 30e3, 60, 1)]
    [InlineData(RectifierCircuit.Bridge, "", 18, 2, 2200e-6, 60, 50, 1)]
    [InlineData(RectifierCircuit.Bridge, "", 18, 2, 2200e-6, 60, 50, 1e-9)]
    public void Solve_RectifierWithResistor_IsNgspicesTransient(
        RectifierCircuit circuit,
        string type,
        double secondary,
        double ohms,
        double farads,
        double load,
        double frequency,
        double second
    )
    {
        NgspiceRequirement.Check();
        RectifierLaw law = type.Length == 0 ? RectifierLaw.SolidState : RectifierPlates.Find(type)!;
        var rectifier = new RectifierSteadyState(law, circuit, frequency);
        var input = new RectifierInput
        {
            Secondary = secondary,
            Ohms = ohms,
            First = 1,
            Second = second,
            Farads = farads,
        };
        var volts = LoadedRectifier.Volts(rectifier, input, load);
        var (average, ripple, peak) = Transient(
            Cards(circuit, law, input with { Volts = volts }, load, frequency),
            frequency,
            5 * Math.Min(load, 15 * ohms + 500) * farads
        );
        Assert.Equal(average, volts, Limit * average);
        Assert.Equal(ripple, rectifier.RipplePeakToPeak, Limit * ripple);
        Assert.Equal(peak, rectifier.PeakAmps, Limit * peak);
    }

    private static List<string> Cards(
        RectifierCircuit circuit,
        RectifierLaw law,
        RectifierInput input,
        double load,
        double frequency
    )
    {
        var peak = Math.Sqrt(2) * input.Secondary;
        var cards = new List<string>
        {
            "* rectifier",
            ".options reltol=1e-5 abstol=1e-12 vntol=1e-6",
            Text($"vsec s 0 sin(0 {peak} {frequency})"),
            Text($"rload out 0 {load}"),
            Text($"cres out 0 {input.Farads} ic={input.Volts}"),
            Text($"rw1 s a1 {input.Ohms}"),
            "vi rk out 0",
        };
        if (circuit == RectifierCircuit.FullWave)
        {
            cards.Add("esec s2 0 0 s 1");
            cards.Add(Text($"rw2 s2 a2 {input.Ohms}"));
        }
        switch (law)
        {
            case PlateRectifier plate:
                cards.Add(Plate("1", "a1", plate, 1));
                if (circuit == RectifierCircuit.FullWave)
                {
                    cards.Add(Plate("2", "a2", plate, input.Second));
                }
                break;
            case JunctionRectifier junction:
                // What the law says at 27 C.
                var emission = junction.EmissionVolts / 0.0258649;
                cards.Add(
                    Text($".model dr d is={junction.Saturation} n={emission} rs={junction.Ohms}")
                );
                if (circuit == RectifierCircuit.Bridge)
                {
                    cards.Remove("rw1");
                    cards[2] = Text($"vsec s r sin(0 {peak} {frequency})");
                    // Without these the transient finds no step small enough where no diode conducts.
                    cards.Add("rleak r 0 1e8");
                    cards.Add("cstray1 r 0 1n");
                    cards.Add("cstray2 a1 0 1n");
                    cards.Add("d1 a1 rk dr");
                    cards.Add("d2 0 r dr");
                    if (input.Second > 0.5)
                    {
                        cards.Add("d3 r rk dr");
                    }
                    cards.Add("d4 0 a1 dr");
                }
                else
                {
                    cards.Add("d1 a1 rk dr");
                    if (circuit == RectifierCircuit.FullWave)
                    {
                        cards.Add("d2 a2 rk dr");
                    }
                }
                break;
        }
        cards.Add(".end");
        return cards;
    }

    /// <summary>A plate of a rectifier tube for ngspice, from an anode to the node rk.</summary>
    internal static string Plate(string name, string anode, PlateRectifier plate, double factor)
    {
        var v = $"v({anode},rk)";
        var soft = Text(
            $"{plate.Width}*(log(1+exp(min({v}/{plate.Width},40)))+max({v}/{plate.Width}-40,0))"
        );
        return Text($"b{name} {anode} rk i={factor * plate.Perveance}*({soft})^{plate.Exponent}");
    }

    private static (double Average, double Ripple, double Peak) Transient(
        List<string> cards,
        double frequency,
        double settle
    )
    {
        var from = Math.Ceiling(settle * frequency) / frequency;
        var to = from + 2 / frequency;
        var step = 1 / frequency / 500;
        return NgspiceSession.Use(session =>
        {
            session.Load(cards);
            session.Command(Text($"tran {step} {to} {from} {step} uic"));
            session.Command(Text($"meas tran vavg avg v(out) from={from} to={to}"));
            session.Command(Text($"meas tran vpp pp v(out) from={from} to={to}"));
            session.Command(Text($"meas tran ipk max i(vi) from={from} to={to}"));
            return (session.Value("vavg"), session.Value("vpp"), session.Value("ipk"));
        });
    }

    private static string Text(FormattableString text) =>
        text.ToString(CultureInfo.InvariantCulture);
}
