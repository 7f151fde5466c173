namespace NetAudit.Circuits.Stages;

/// <summary>Names of stages, each once: a name that is taken gets the next number.</summary>
internal sealed class UniqueNames(IEnumerable<string> taken)
{
    private readonly HashSet<string> _taken = new(taken, StringComparer.OrdinalIgnoreCase);
    private readonly Dictionary<string, int> _last = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>The name, with a number when it is taken.</summary>
    public string Of(string name)
    {
        var unique = name;
        while (!_taken.Add(unique))
        {
            var number = _last.GetValueOrDefault(name, 1) + 1;
            _last[name] = number;
            unique = $"{name} {number}";
        }
        return unique;
    }
}
