using NetAudit.Circuits;

namespace NetAudit.Simulation.Transients;

/// <summary>Volts of every node, and amperes of some elements, at each step of a run. Not for hot loops: it grows.</summary>
internal sealed class Recording
{
    private readonly List<double> _times = [];
    private readonly List<double>[] _volts;
    private readonly List<double>[] _amps;
    private readonly int[] _elements;

    /// <param name="circuit">The circuit.</param>
    /// <param name="elements">Elements with a branch current to record.</param>
    public Recording(Circuit circuit, params int[] elements)
    {
        _volts = [.. circuit.Nodes.Select(_ => new List<double>())];
        _amps = [.. elements.Select(_ => new List<double>())];
        _elements = elements;
    }

    public IReadOnlyList<double> Times => _times;

    /// <summary>Volts of a node, one for each of <see cref="Times"/>.</summary>
    public IReadOnlyList<double> Volts(int node) => _volts[node];

    /// <summary>Amperes of the n-th of the elements recorded.</summary>
    public IReadOnlyList<double> Amps(int recorded) => _amps[recorded];

    /// <summary>Notes the present state of a run.</summary>
    public void Add(Integrator integrator)
    {
        var workspace = integrator.Workspace;
        _times.Add(integrator.Time);
        for (var node = 0; node < _volts.Length; node++)
        {
            _volts[node].Add(workspace.VoltsNow(node));
        }
        for (var i = 0; i < _elements.Length; i++)
        {
            _amps[i].Add(workspace.BranchAmps(_elements[i]));
        }
    }
}
