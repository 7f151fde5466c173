namespace NetAudit.Circuits.Elaboration;

/// <summary>Gathers what a behavioural source's law senses, each once.</summary>
internal sealed class LawControls
{
    private readonly List<(string Positive, string? Negative)> voltages = [];
    private readonly List<string> currents = [];

    /// <summary>Node names of each control voltage, as written; no second name means chassis.</summary>
    public IReadOnlyList<(string Positive, string? Negative)> Voltages => voltages;

    /// <summary>Source names of each control current, as written.</summary>
    public IReadOnlyList<string> Currents => currents;

    /// <summary>Number of the control voltage between two nodes.</summary>
    public int Voltage(string positive, string? negative)
    {
        for (var i = 0; i < voltages.Count; i++)
        {
            if (Same(voltages[i].Positive, positive) && Same(voltages[i].Negative, negative))
            {
                return i;
            }
        }
        voltages.Add((positive, negative));
        return voltages.Count - 1;
    }

    /// <summary>Number of the control current through a source.</summary>
    public int Current(string source)
    {
        var index = currents.FindIndex(known => Same(known, source));
        if (index < 0)
        {
            index = currents.Count;
            currents.Add(source);
        }
        return index;
    }

    private static bool Same(string? a, string? b) =>
        string.Equals(a, b, StringComparison.OrdinalIgnoreCase);
}
