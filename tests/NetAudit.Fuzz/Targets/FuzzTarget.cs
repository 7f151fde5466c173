using NetAudit.Fuzz.Grammars;

namespace NetAudit.Fuzz.Targets;

/// <summary>One parser under fire: what it is fed, and what must hold whatever it is fed.</summary>
/// <param name="Name">Name on the command line, of the grammar and of the folders of inputs.</param>
/// <param name="Check">Runs the parser; throws what it throws, or a <see cref="ContractException"/> when it broke its contract.</param>
public sealed record FuzzTarget(string Name, Action<string> Check)
{
    /// <summary>Every target.</summary>
    public static IReadOnlyList<FuzzTarget> All { get; } =
    [
        new("netlist", NetlistTarget.Check),
        new("expression", ExpressionTarget.Check),
        new("sheet", SheetTarget.Check),
        new("readings", ReadingsTarget.Check),
        new("calibration", CalibrationTarget.Check),
        new("job", JobTarget.Check),
    ];

    /// <summary>What the target takes, as a grammar to draw texts from.</summary>
    public Grammar Grammar { get; } = Grammar.Embedded(Name);

    /// <summary>The target of a name.</summary>
    public static FuzzTarget Of(string name) =>
        All.FirstOrDefault(target => target.Name == name)
        ?? throw new ArgumentException(
            $"no target {name}; there are {string.Join(", ", All.Select(target => target.Name))}"
        );
}
