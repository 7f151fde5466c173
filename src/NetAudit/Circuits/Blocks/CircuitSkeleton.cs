using System.Globalization;
using System.Text;

namespace NetAudit.Circuits.Blocks;

/// <summary>
/// A netlist and its service sheet made of building blocks: a start to be changed into what the drawing shows. It reads and solves as it
/// is.
/// </summary>
/// <param name="Netlist">Text of the netlist.</param>
/// <param name="Sheet">Text of the sheet.</param>
public sealed record CircuitSkeleton(string Netlist, string Sheet)
{
    // The first stages hang on the last, best filtered rail.
    private const int EarlyStages = 2;
    private const string EarlyRail = "b4";
    private const string LateRail = "b3";

    /// <summary>Draws a chain.</summary>
    /// <param name="title">What the amplifier is called: the netlist's first line.</param>
    /// <param name="netlistFile">Name of the netlist's file, for the sheet.</param>
    /// <param name="chain">The blocks.</param>
    public static CircuitSkeleton Of(string title, string netlistFile, BlockChain chain)
    {
        ArgumentNullException.ThrowIfNull(chain);
        var netlist = new StringBuilder();
        var stages = new StringBuilder();
        var numbering = new CardNumbering();
        netlist.Append($"{title}\n.include tubes.lib\n\nVIN in 0 DC 0 AC 2m SIN(0 2.8m 1k)\n");
        var amplifying = 0;
        for (var i = 0; i < chain.Blocks.Count; i++)
        {
            var block = chain.Blocks[i];
            amplifying += block.Cards.Contains("XV?", StringComparison.Ordinal) ? 1 : 0;
            var isLast = i + 2 >= chain.Blocks.Count;
            var number = (i + 1).ToString(CultureInfo.InvariantCulture);
            var words = new Dictionary<string, string>
            {
                ["in"] = i == 0 ? "in" : $"o{i}",
                ["in2"] = $"q{i}",
                ["out"] = isLast ? "out" : $"o{number}",
                ["out2"] = $"q{number}",
                ["rail"] = amplifying <= EarlyStages ? EarlyRail : LateRail,
            };
            var parts = new List<string>();
            netlist.Append($"\n* {block.Title}\n");
            foreach (var line in block.Cards.TrimEnd('\n').Split('\n'))
            {
                netlist
                    .Append(Card(line.Replace("#", number, StringComparison.Ordinal)))
                    .Append('\n');
            }
            stages.Append(Stage(block, number, words, parts));

            string Card(string line)
            {
                if (line[0] is '*' or '.')
                {
                    return line;
                }
                var card = line.Split(' ');
                card[0] = numbering.NameOf(card[0], card[^1]);
                if (card[0][0] != 'K' && card[0] != "RLOAD")
                {
                    parts.Add(card[0]);
                }
                for (var word = 1; word < card.Length; word++)
                {
                    card[word] = words.GetValueOrDefault(card[word], card[word]);
                }
                return string.Join(' ', card);
            }
        }
        foreach (var tube in numbering.Idle)
        {
            stages.Append(
                $"\n[[accept]]\ncode = \"idle-section\"\nwhere = \"{tube}\"\nreason = \"no block uses its other section\"\n"
            );
        }
        if (!netlist.ToString().Contains("RLOAD", StringComparison.Ordinal))
        {
            netlist.Append("\n* What it is plugged into\nRLOAD out 0 1Meg\n");
        }
        netlist.Append("\n.op\n.end\n");
        return new(netlist.ToString(), Head(title, netlistFile, numbering.Tubes, chain) + stages);
    }

    private static string Head(
        string title,
        string netlistFile,
        IReadOnlyList<string> tubes,
        BlockChain chain
    )
    {
        var sources = Quoted(chain.Blocks.SelectMany(block => block.Sources));
        return $"""
            # What the netlist cannot say. Every key is explained in docs/file-formats.md.
            title = "{title}"
            revision = "A"
            netlist = "{netlistFile}"

            [mains]
            nominal = 120.0
            sources = [{sources}]

            [bench]
            fixtures = ["VIN", "RLOAD"]

            [power_off]
            open = [{sources}]

            [signal]
            source = "VIN"
            frequency = 1000
            level = "2m"

            [rating]
            resistor = "0.5W"
            potentiometer = "0.25W"
            capacitor = "630V"
            electrolytic = "450V"

            [part.RDROP1]
            power = "5W"
            kind = "wirewound"

            [part.RDROP2]
            power = "2W"

            [part.RBLEED]
            power = "2W"

            [[switch]]
            name = "Standby"
            positions = {"{"} play = {"{"} standby = 0 {"}"}, standby = {"{"} standby = 1 {"}"} {"}"}

            [[contact]]
            name = "Standby switch"
            element = "RSTBY"

            [[fuse]]
            name = "HT fuse"
            element = "RFUSE1"
            rating = "500mA T"

            [[heater]]
            name = "Heater winding"
            volts = 6.3
            amps = 4
            tubes = [{Quoted(tubes)}]

            """;
    }

    private static string Quoted(IEnumerable<string> names) =>
        string.Join(", ", names.Select(name => $"\"{name}\""));

    private static string Stage(
        BuildingBlock block,
        string number,
        Dictionary<string, string> nodes,
        List<string> parts
    )
    {
        var text = new StringBuilder();
        text.Append(
            $"\n[[stage]]\nname = \"{block.Title}{(block.IsSupply ? "" : " " + number)}\"\n"
        );
        text.Append($"parts = [{Quoted(parts)}]\n");
        if (!block.IsSupply)
        {
            text.Append($"input = \"{nodes["in"]}\"\noutput = \"{nodes["out"]}\"\n");
        }
        return text.Append(block.Sheet.Replace("#", number, StringComparison.Ordinal)).ToString();
    }
}
