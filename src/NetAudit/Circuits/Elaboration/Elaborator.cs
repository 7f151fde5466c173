using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Turns a parsed netlist into a flat circuit: definitions first, then elements in order, then what had to wait for all of them.</summary>
internal sealed class Elaborator
{
    private readonly ElaborationState state;
    private readonly ExpressionResolver expressions;
    private readonly DefinitionReader definitions;
    private readonly ElementReader elements;

    /// <param name="library">Where includes are found.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    public Elaborator(NetlistLibrary library, CancellationToken cancellationToken)
    {
        state = new ElaborationState(new DiagnosticBag(), library, cancellationToken);
        expressions = new ExpressionResolver(state);
        definitions = new DefinitionReader(state, expressions);
        elements = new ElementReader(state, expressions, definitions);
    }

    /// <summary>Reads the whole netlist.</summary>
    public CircuitReadResult Read(
        NetlistFile file,
        IReadOnlyDictionary<string, double>? parameterOverrides
    )
    {
        foreach (var (name, value) in parameterOverrides ?? new Dictionary<string, double>())
        {
            state.Overrides[name] = value;
        }
        foreach (var diagnostic in file.Diagnostics)
        {
            state.Diagnostics.Add(diagnostic);
        }
        var top = new Scope(null, "");
        elements.ReadAll(definitions.Collect(file.Items, top), top);
        foreach (var action in state.Deferred)
        {
            if (!state.Diagnostics.IsFull)
            {
                action();
            }
        }
        CheckOverrides(top);
        if (state.Elements.Count == 0 && !state.Diagnostics.HasErrors)
        {
            state.Diagnostics.Add(
                new Diagnostic(
                    Severity.Error,
                    new SourceSpan(file.Name, 1, 1),
                    "the netlist has no elements",
                    "the first line is the title; write one element a line below it, as R1 a 0 1k"
                )
            );
        }
        var circuit = state.Diagnostics.HasErrors ? null : Build(file, top);
        if (circuit is not null && SolvableSize.Problem(circuit) is { } problem)
        {
            state.Diagnostics.Add(problem);
            circuit = null;
        }
        return new CircuitReadResult(circuit, state.Diagnostics.ToImmutable());
    }

    private void CheckOverrides(Scope top)
    {
        foreach (
            var name in state.Overrides.Keys.Where(name => !state.UsedOverrides.Contains(name))
        )
        {
            state.Diagnostics.Add(
                new Diagnostic(
                    Severity.Warning,
                    null,
                    $"the netlist has no parameter {name} to set",
                    Suggestions.DidYouMean(name, top.ParameterNames)
                )
            );
        }
    }

    private Circuit Build(NetlistFile file, Scope top) =>
        new()
        {
            Title = file.Title,
            Nodes = [.. state.Nodes],
            Elements = [.. state.Elements],
            Pins = [.. state.Pins],
            Instances = [.. state.Instances],
            Temperature = state.Temperature,
            Hints = [.. state.Hints],
            Parameters = [.. top.ParameterNames],
            Unused =
            [
                .. top
                    .Unused.Where(unused => unused.Where.File == file.Name)
                    .OrderBy(unused => unused.Where.Line),
            ],
            Spellings = [.. state.Spellings],
        };
}
