using System.Globalization;
using NetAudit.Circuits.Tubes;

namespace NetAudit.Circuits.Blocks;

/// <summary>Gives the parts of a chain their numbers: <c>R? C? K?</c> by letter, <c>XV?</c> by envelope and section.</summary>
internal sealed class CardNumbering
{
    private readonly Dictionary<string, int> _last = [];
    private readonly List<string> _tubes = [];
    private readonly Dictionary<string, (string Tube, int Left)> _open = [];

    /// <summary>Names of the envelopes so far.</summary>
    public IReadOnlyList<string> Tubes => _tubes;

    /// <summary>The name of a card's part.</summary>
    /// <param name="name">The first word of the card.</param>
    /// <param name="type">Its last word: of a tube its type.</param>
    public string NameOf(string name, string type) =>
        name == "XV?" ? Section(type)
        : name.EndsWith('?') ? name[..^1] + Next(name[..^1])
        : name;

    /// <summary>Envelopes with a section that no block used.</summary>
    public IEnumerable<string> Idle =>
        _open.Values.Where(open => open.Left > 0).Select(open => open.Tube);

    // The sections of a twin tube are used up before the next envelope of its type.
    private string Section(string type)
    {
        var sections = TubeCatalogue.Find(type)!.Sections;
        var (tube, left) = _open.GetValueOrDefault(type);
        if (left == 0)
        {
            (tube, left) = ("V" + Next("XV"), sections.Length);
            _tubes.Add(tube);
        }
        _open[type] = (tube, left - 1);
        return $"X{tube}{sections[^left]}";
    }

    private string Next(string letters)
    {
        _last[letters] = _last.GetValueOrDefault(letters) + 1;
        return _last[letters].ToString(CultureInfo.InvariantCulture);
    }
}
