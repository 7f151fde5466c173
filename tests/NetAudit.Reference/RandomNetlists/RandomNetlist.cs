using System.Globalization;
using System.Text;
using NetAudit.Reference.Units;

namespace NetAudit.Reference.RandomNetlists;

/// <summary>
/// Netlists from a seed, over every device kind. Stages are driven by nodes made before them, and each is monotonic, so that the
/// circuit has one operating point and two simulators can be held against each other.
/// </summary>
public sealed partial class RandomNetlist
{
    private static readonly Action<RandomNetlist>[] Stages =
    [
        Divider,
        DiodeClamp,
        Zener,
        CommonEmitter,
        EmitterFollower,
        PnpStage,
        JunctionFetStage,
        MosFetStage,
        VoltageControlled,
        CurrentControlled,
        Behavioural,
        Polynomial,
        Winding,
        CurrentFed,
        Block,
        Triode,
        Pentode,
    ];

    private readonly Random random;
    private readonly StringBuilder cards = new();
    private readonly List<string> nodes = ["vdd", "vee", "sig"];
    private readonly List<string> voltageSources = ["VSIG"];
    private int number;

    private RandomNetlist(int seed) => random = new Random(seed);

    /// <summary>The netlist of a seed; it includes <c>tubes.lib</c>.</summary>
    public static string Make(int seed)
    {
        var netlist = new RandomNetlist(seed);
        netlist.Rails();
        var count = netlist.random.Next(6, 14);
        // Every kind comes up as the seeds go round, whatever the dice say.
        Stages[seed % Stages.Length](netlist);
        for (var i = 1; i < count; i++)
        {
            netlist.random.Of(Stages)(netlist);
        }
        netlist.cards.AppendLine(".end");
        return netlist.cards.ToString();
    }

    private void Rails()
    {
        Card($"Random circuit");
        Card($".include tubes.lib");
        Card($".param half=0.5");
        Card($"VDD vdd 0 {random.Between(9, 15)}");
        Card($"VEE vee 0 {-random.Between(9, 15)}");
        Card($"VSIG sig 0 {random.Between(-1, 3)}");
        Card($"VHT ht 0 {random.Between(200, 350)}");
        Card(
            $".model DX D(IS={random.Decades(1e-15, 1e-9)} N={random.Between(1, 2)} RS={random.Between(0.1, 5)})"
        );
        Card($".model DZ D(IS=1e-14 BV={random.Between(3.3, 8)} IBV=1m RS=2)");
        Card(
            $".model QN NPN(IS={random.Decades(1e-16, 1e-13)} BF={random.Between(50, 300)} BR=2 VAF={random.Between(30, 150)} IKF=0.3 ISE=1e-14 NE=1.7 RB=50 RC=1 RE=0.2)"
        );
        Card(
            $".model QP PNP(IS={random.Decades(1e-16, 1e-13)} BF={random.Between(50, 300)} VAF=60 RB=30)"
        );
        Card(
            $".model JN NJF(VTO={-random.Between(1, 4)} BETA={random.Decades(2e-4, 3e-3)} LAMBDA=0.01 RD=5 RS=5)"
        );
        Card(
            $".model MN NMOS(LEVEL=1 VTO={random.Between(0.5, 2)} KP=3e-5 GAMMA=0.4 PHI=0.65 LAMBDA=0.02)"
        );
        Card($".subckt attenuator top tap foot ratio=0.5");
        Card($"R1 top tap {{10k*(1-ratio)}}");
        Card($"R2 tap foot {{10k*ratio}}");
        Card($".ends");
    }

    private void Card(FormattableString text) =>
        cards.AppendLine(FormattableString.Invariant(text));

    /// <summary>A new node, tied to chassis through a resistor so that it always has a DC path.</summary>
    private string NewNode(double ohmsToChassis)
    {
        var node = string.Create(CultureInfo.InvariantCulture, $"n{++number}");
        Card($"RG{number} {node} 0 {ohmsToChassis}");
        return node;
    }

    /// <summary>A node for later stages to be driven by.</summary>
    private void Offer(string node) => nodes.Add(node);

    private string Driven() => random.Of(nodes);

    private double Ohms(double low, double high) => random.Decades(low, high);
}
