using NetAudit.Reference.Units;

namespace NetAudit.Reference.RandomNetlists;

public sealed partial class RandomNetlist
{
    private static readonly string[] Laws =
    [
        "I=1m*tanh(V({0},{1})/5)",
        "V=3*atan(V({0})/4)+0.2*V({1})",
        "V=(V({0})>V({1})) ? V({0}) : V({1})",
        "I=1e-4*pwr(V({0}),1.5)",
        "V=max(min(V({0}),6),-6)+0.5*sqrt(abs(V({1}))+1)",
        "V=ln(1+exp(V({0})-2))",
        "I=1e-4*V({0})+1e-5*V({1})*abs(V({1}))",
        "V=2*exp(-abs(V({0}))/3)-uramp(V({1}))*0.3",
        "V=5*sin(V({0})/7)+log10(abs(V({1}))+2)",
        "V=V({0})/(1+V({1})*V({1}))",
    ];

    private static void Divider(RandomNetlist n)
    {
        var node = n.NewNode(n.Ohms(1e3, 1e5));
        n.Card($"RD{n.number} {n.Driven()} {node} {n.Ohms(1e3, 1e5)}");
        n.Card($"RE{n.number} {n.Driven()} {node} {n.Ohms(1e4, 1e6)}");
        n.Card($"CD{n.number} {node} 0 1u");
        n.Offer(node);
    }

    private static void DiodeClamp(RandomNetlist n)
    {
        var node = n.NewNode(n.Ohms(1e3, 1e5));
        n.Card($"RD{n.number} {n.Driven()} {node} {n.Ohms(1e3, 3e4)}");
        var (a, c) = n.random.Next(2) == 0 ? (node, "0") : ("0", node);
        n.Card($"D{n.number} {a} {c} DX area={n.random.Next(1, 4)}");
        n.Offer(node);
    }

    private static void Zener(RandomNetlist n)
    {
        var node = n.NewNode(n.Ohms(1e4, 1e5));
        n.Card($"RZ{n.number} vdd {node} {n.Ohms(300, 3e3)}");
        n.Card($"DZ{n.number} 0 {node} DZ");
        n.Offer(node);
    }

    private static void CommonEmitter(RandomNetlist n)
    {
        var input = n.Driven();
        var b = n.NewNode(n.Ohms(1e4, 1e5));
        n.Card($"RB{n.number} {input} {b} {n.Ohms(1e4, 3e5)}");
        var e = n.NewNode(n.Ohms(100, 3e3));
        var c = n.NewNode(1e6);
        n.Card($"RC{n.number} vdd {c} {n.Ohms(1e3, 2e4)}");
        n.Card($"Q{n.number} {c} {b} {e} QN");
        n.Offer(c);
    }

    private static void EmitterFollower(RandomNetlist n)
    {
        var input = n.Driven();
        var e = n.NewNode(n.Ohms(1e3, 2e4));
        n.Card($"RS{n.number} {input} b{n.number} {n.Ohms(100, 1e4)}");
        n.Card($"Q{n.number} vdd b{n.number} {e} QN area=2");
        n.Offer(e);
    }

    private static void PnpStage(RandomNetlist n)
    {
        var input = n.Driven();
        var c = n.NewNode(n.Ohms(1e3, 2e4));
        n.Card($"RS{n.number} {input} b{n.number} {n.Ohms(1e4, 1e5)}");
        n.Card($"RE{n.number} vdd e{n.number} {n.Ohms(200, 5e3)}");
        n.Card($"Q{n.number} {c} b{n.number} e{n.number} QP");
        n.Offer(c);
    }

    private static void JunctionFetStage(RandomNetlist n)
    {
        var s = n.NewNode(n.Ohms(300, 5e3));
        var d = n.NewNode(1e6);
        n.Card($"RJ{n.number} vdd {d} {n.Ohms(500, 5e3)}");
        n.Card($"RI{n.number} {n.Driven()} g{n.number} 100k");
        n.Card($"RL{n.number} g{n.number} 0 100k");
        n.Card($"J{n.number} {d} g{n.number} {s} JN");
        n.Offer(d);
    }

    private static void MosFetStage(RandomNetlist n)
    {
        var s = n.NewNode(n.Ohms(100, 3e3));
        var d = n.NewNode(1e6);
        n.Card($"RM{n.number} vdd {d} {n.Ohms(1e3, 1e4)}");
        n.Card($"RI{n.number} {n.Driven()} g{n.number} 10k");
        n.Card($"RL{n.number} g{n.number} 0 1Meg");
        var bulk = n.random.Next(2) == 0 ? s : "0";
        n.Card($"M{n.number} {d} g{n.number} {s} {bulk} MN L=10u W={n.random.Next(50, 500)}u");
        n.Offer(d);
    }

    private static void VoltageControlled(RandomNetlist n)
    {
        var (a, b) = (n.Driven(), n.Driven());
        var node = n.NewNode(n.Ohms(1e3, 1e4));
        if (n.random.Next(2) == 0)
        {
            n.Card($"E{n.number} x{n.number} 0 {a} {b} {n.random.Between(-2, 2)}");
            n.Card($"RX{n.number} x{n.number} {node} {n.Ohms(100, 1e4)}");
        }
        else
        {
            n.Card($"G{n.number} 0 {node} {a} {b} {n.random.Between(-1e-3, 1e-3)}");
        }
        n.Offer(node);
    }

    private static void CurrentControlled(RandomNetlist n)
    {
        var source = n.random.Of(n.voltageSources);
        var input = n.Driven();
        var node = n.NewNode(n.Ohms(1e3, 1e4));
        // A meter in series with a resistor, and sources that follow it.
        n.Card($"VM{n.number} {input} m{n.number} 0");
        n.Card($"RX{n.number} m{n.number} {node} {n.Ohms(1e3, 1e5)}");
        n.voltageSources.Add($"VM{n.number}");
        if (n.random.Next(2) == 0)
        {
            n.Card($"F{n.number} 0 f{n.number} {source} {n.random.Between(-1, 1)}");
            n.Card($"RF{n.number} f{n.number} 0 {n.Ohms(1e3, 1e4)}");
        }
        else
        {
            n.Card($"H{n.number} f{n.number} 0 {source} {n.random.Between(-1e3, 1e3)}");
            n.Card($"RF{n.number} f{n.number} {node} 10k");
        }
        n.Offer(node);
    }

    private static void Behavioural(RandomNetlist n)
    {
        var law = string.Format(
            System.Globalization.CultureInfo.InvariantCulture,
            n.random.Of(Laws),
            n.Driven(),
            n.Driven()
        );
        var node = n.NewNode(n.Ohms(1e3, 1e4));
        if (law[0] == 'I')
        {
            n.Card($"B{n.number} 0 {node} {law}");
        }
        else
        {
            n.Card($"B{n.number} x{n.number} 0 {law}");
            n.Card($"RX{n.number} x{n.number} {node} 1k");
        }
        n.Offer(node);
    }

    private static void Polynomial(RandomNetlist n)
    {
        var (a, b) = (n.Driven(), n.Driven());
        var node = n.NewNode(n.Ohms(1e3, 1e4));
        n.Card(
            $"E{n.number} x{n.number} 0 POLY(2) {a} 0 {b} 0 {n.random.Between(-1, 1)} 0.5 {n.random.Between(-0.5, 0.5)} 0.01 0.02"
        );
        n.Card($"RX{n.number} x{n.number} {node} 2.2k");
        n.Offer(node);
    }

    private static void Winding(RandomNetlist n)
    {
        var input = n.Driven();
        var node = n.NewNode(n.Ohms(1e3, 1e4));
        n.Card($"RW{n.number} {input} w{n.number} {n.Ohms(10, 1e3)}");
        n.Card($"LP{n.number} w{n.number} {node} 1");
        n.Card($"LS{n.number} s{n.number} 0 0.1");
        n.Card($"RS{n.number} s{n.number} 0 8");
        n.Card($"K{n.number} LP{n.number} LS{n.number} 0.99");
        n.Offer(node);
    }

    private static void CurrentFed(RandomNetlist n)
    {
        var node = n.NewNode(n.Ohms(1e3, 1e4));
        n.Card($"I{n.number} 0 {node} {n.random.Between(-1e-3, 1e-3)}");
        n.Offer(node);
    }

    private static void Block(RandomNetlist n)
    {
        var input = n.Driven();
        var node = n.NewNode(n.Ohms(1e4, 1e5));
        n.Card(
            $"X{n.number} {input} {node} 0 attenuator ratio={{half*{n.random.Between(0.4, 1.6)}}}"
        );
        n.Offer(node);
    }

    private static void Triode(RandomNetlist n)
    {
        var input = n.Driven();
        var k = n.NewNode(n.Ohms(500, 1e4));
        n.Card($"RP{n.number} ht p{n.number} {n.Ohms(3e4, 3e5)}");
        n.Card($"RI{n.number} {input} g{n.number} 470k");
        n.Card($"RL{n.number} g{n.number} 0 1Meg");
        var type = n.random.Of((string[])["12AX7", "12AT7", "12AU7"]);
        n.Card($"XT{n.number} p{n.number} g{n.number} {k} {type}");
        n.Offer(k);
    }

    private static void Pentode(RandomNetlist n)
    {
        var input = n.Driven();
        var k = n.NewNode(n.Ohms(100, 1e3));
        n.Card($"RP{n.number} ht p{n.number} {n.Ohms(100, 3e3)}");
        n.Card($"RS{n.number} ht s{n.number} {n.Ohms(100, 5e3)}");
        n.Card($"RI{n.number} {input} g{n.number} 100k");
        n.Card($"RL{n.number} g{n.number} 0 220k");
        var type = n.random.Of((string[])["EL84", "EL34", "6L6GC"]);
        n.Card($"XP{n.number} p{n.number} g{n.number} {k} s{n.number} {type}");
        n.Offer(k);
    }
}
