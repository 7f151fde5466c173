using System.Globalization;
using System.Text.RegularExpressions;

namespace NetAudit.Reference.RandomNetlists;

/// <summary>
/// A netlist of plain cards with every element and node called something else, the cards in another order, and some parts changed: what
/// a stranger's drawing of a later revision looks like.
/// </summary>
public sealed partial class ShuffledNetlist
{
    private readonly Random _random;
    private readonly List<string[]> _cards = [];
    private readonly List<string> _other = [];
    private readonly Dictionary<string, string> _elements = new(StringComparer.OrdinalIgnoreCase);
    private readonly Dictionary<string, string> _nodes = new(StringComparer.OrdinalIgnoreCase);
    private readonly HashSet<string> _changed = new(StringComparer.OrdinalIgnoreCase);

    private ShuffledNetlist(string netlist, int seed)
    {
        _random = new Random(seed);
        foreach (var line in netlist.ReplaceLineEndings("\n").Split('\n').Skip(1))
        {
            if (line.Length == 0 || line[0] == '*' || line == ".end")
            {
                continue;
            }
            if (line[0] == '.')
            {
                _other.Add(line);
            }
            else
            {
                _cards.Add(Blanks().Split(line.Trim()));
            }
        }
    }

    /// <summary>The netlist.</summary>
    public string Text { get; private set; } = "";

    /// <summary>New name of every element and device that is still there.</summary>
    public IReadOnlyDictionary<string, string> Elements => _elements;

    /// <summary>New name of every node.</summary>
    public IReadOnlyDictionary<string, string> Nodes => _nodes;

    /// <summary>What was changed, by old name.</summary>
    public IReadOnlySet<string> Changed => _changed;

    /// <summary>Shuffles the names of a netlist and changes so many parts.</summary>
    public static ShuffledNetlist Of(string netlist, int changes, int seed)
    {
        var shuffled = new ShuffledNetlist(netlist, seed);
        for (var change = 0; change < changes; change++)
        {
            shuffled.Change();
        }
        shuffled.Rename();
        return shuffled;
    }

    private void Change()
    {
        var candidates = _cards
            .Where(card => card[0][0] is 'R' or 'C' && !_changed.Contains(card[0]))
            .ToArray();
        var card = candidates[_random.Next(candidates.Length)];
        _changed.Add(card[0]);
        switch (_random.Next(4))
        {
            case 0:
                _cards.Remove(card);
                break;
            case 1:
                var elsewhere = _cards[_random.Next(_cards.Count)];
                card[1 + _random.Next(2)] = elsewhere[0][0] == 'K' ? "0" : elsewhere[1];
                break;
            case 2:
                _cards.Add([$"{card[0][0]}NEW{_changed.Count}", card[1], "0", "12.3k"]);
                break;
            default:
                card[^1] = card[^1].StartsWith('{') ? "333k" : $"{{2*({card[^1]})}}";
                break;
        }
    }

    private void Rename()
    {
        foreach (var kind in _cards.Select(card => card[0]).GroupBy(name => name[0]).ToArray())
        {
            var numbers = Enumerable.Range(1, kind.Count()).ToArray();
            _random.Shuffle(numbers);
            foreach (var (name, number) in kind.Zip(numbers))
            {
                _elements[name] = string.Create(
                    CultureInfo.InvariantCulture,
                    $"{kind.Key}{number}"
                );
            }
        }
        var nodes = _cards.SelectMany(NodesOf).Distinct(StringComparer.OrdinalIgnoreCase);
        var old = nodes.Where(node => node != "0").ToArray();
        var names = Enumerable.Range(1, old.Length).ToArray();
        _random.Shuffle(names);
        foreach (var (node, number) in old.Zip(names))
        {
            _nodes[node] = string.Create(CultureInfo.InvariantCulture, $"n{number}");
        }
        foreach (var card in _cards)
        {
            for (var i = 1; i <= NodeCount(card); i++)
            {
                card[i] = card[0][0] == 'K' ? _elements[card[i]] : NewNode(card[i]);
            }
            card[0] = _elements[card[0]];
        }
        var cards = _cards.ToArray();
        _random.Shuffle(cards);
        Text = string.Join(
            '\n',
            ["Shuffled", .. _other, .. cards.Select(card => string.Join(' ', card)), ".end", ""]
        );
    }

    private string NewNode(string node) => node == "0" ? "0" : _nodes[node];

    private static IEnumerable<string> NodesOf(string[] card) =>
        card[0][0] == 'K' ? [] : card.Skip(1).Take(NodeCount(card));

    private static int NodeCount(string[] card) =>
        card[0][0] switch
        {
            'X' => card.Length - 2,
            'Q' or 'J' => 3,
            'M' => 4,
            _ => 2,
        };

    [GeneratedRegex(@"\s+")]
    private static partial Regex Blanks();
}
