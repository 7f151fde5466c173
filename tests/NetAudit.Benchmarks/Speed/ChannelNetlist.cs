using System.Text.RegularExpressions;

namespace NetAudit.Benchmarks.Speed;

/// <summary>Bigger amplifiers made from the Marram 20: any number of its channels on one supply.</summary>
internal static partial class ChannelNetlist
{
    // What all channels share; every other name gets the channel's suffix.
    private static readonly HashSet<string> SharedNodes = new(StringComparer.OrdinalIgnoreCase)
    {
        "0",
        "ht",
        "h1",
        "h2",
        "b1",
    };

    private static readonly HashSet<string> SharedElements = new(StringComparer.OrdinalIgnoreCase)
    {
        "VHT",
        "RHT",
        "RFUSE1",
        "RSTBY",
        "C12",
        "R31",
    };

    /// <param name="netlist">Text of <c>marram-20.cir</c>.</param>
    /// <param name="channels">How many channels; the supply's resistance falls in proportion.</param>
    public static string Of(string netlist, int channels)
    {
        var lines = netlist.ReplaceLineEndings("\n").Split('\n');
        var text = new List<string> { $"{channels} channels of Marram 20 on one supply" };
        var repeated = new List<string>();
        foreach (var line in lines.Skip(1))
        {
            var name = line.Split(' ')[0];
            if (line.Length == 0 || line[0] is '*' || name is ".end" or ".op")
            {
                continue;
            }
            if (name == "RHT")
            {
                text.Add(FormattableString.Invariant($"RHT ht h1 {85.0 / channels}"));
            }
            else if (line[0] == '.' || SharedElements.Contains(name))
            {
                text.Add(line);
            }
            else
            {
                repeated.Add(line);
            }
        }
        for (var channel = 1; channel <= channels; channel++)
        {
            text.AddRange(repeated.Select(line => InChannel(line, channel)));
        }
        text.Add(".end");
        return string.Join('\n', text) + "\n";
    }

    private static string InChannel(string line, int channel)
    {
        var words = Blanks().Split(line.Trim());
        var nodes = words[0][0] is 'X' ? words.Length - 2 : 2;
        var suffix = $"_{channel}";
        for (var i = 0; i < words.Length; i++)
        {
            // K names two inductors where other cards name nodes.
            if (i == 0 || i <= nodes && !SharedNodes.Contains(words[i]))
            {
                words[i] += suffix;
            }
        }
        return string.Join(' ', words);
    }

    [GeneratedRegex(@"\s+")]
    private static partial Regex Blanks();
}
