using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Simulation;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Catalogue;

/// <summary>The catalogue of some cards, looked up by the words of a fault.</summary>
internal sealed class Listed
{
    public Listed(string cards, string? sheet = null)
        : this(Amplifiers.Of(cards, sheet)) { }

    public Listed(Amplifier amplifier)
    {
        Circuit = amplifier.Circuit;
        Compiled = CompiledCircuit.Compile(amplifier.Circuit);
        Classes = [.. FaultCatalogue.Of(amplifier, Compiled).Classes];
    }

    public Circuit Circuit { get; }

    public CompiledCircuit Compiled { get; }

    public FaultClass[] Classes { get; }

    /// <summary>The class of the fault of that description; of several with one description the first.</summary>
    public FaultClass this[string fault] => Classes.First(c => Describes(c, fault));

    public bool Has(string fault) => Classes.Any(c => Describes(c, fault));

    /// <summary>Share of one identity of all faults.</summary>
    public double Share(string fault) =>
        Classes
            .SelectMany(c => c.Identities)
            .Where(i => i.Fault.Describe() == fault)
            .Sum(i => i.Share);

    public int Node(string name) => Circuit.FindNode(name);

    /// <summary>The solver's parameter of an element.</summary>
    public int Parameter(ParameterKind kind, string element) =>
        Compiled.FindParameter(kind, Circuit.FindElement(element));

    /// <summary>Joins two nodes by the fault's ohms, through which current runs downhill.</summary>
    public void AssertJoins(string fault, string first, string second)
    {
        var (a, b) = (Node(first), Node(second));
        var (low, high) = (Math.Min(a, b), Math.Max(a, b));
        var found = this[fault];
        Assert.Equal(
            new Alteration(AlterationKind.Bridge, low, high, 1),
            Assert.Single(found.Alterations)
        );
        var direction = found.Direction;
        Assert.Equal(
            (low, high),
            (Math.Min(direction.NodeA, direction.NodeB), Math.Max(direction.NodeA, direction.NodeB))
        );
        Assert.Equal(
            (-1, -1, 1, true),
            (direction.Parameter, direction.SecondParameter, direction.Sign, direction.Downhill)
        );
    }

    private static bool Describes(FaultClass fault, string words) =>
        fault.Identities.Any(i => i.Fault.Describe() == words);
}
