using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Search;
using NetAudit.Simulation;

namespace NetAudit.Reference.Hypotheses;

/// <summary>Solves the diagnosis's own fault hypotheses and says which find no operating point.</summary>
public sealed class HypothesisSweep
{
    private readonly ImmutableArray<FaultClass> classes;
    private readonly Workspace workspace;
    private readonly double[] healthy;

    public HypothesisSweep(Amplifier amplifier)
    {
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        classes = FaultCatalogue.Of(amplifier, compiled).Classes;
        workspace = new Workspace(compiled);
        if (!workspace.Solve([]).Converged)
        {
            throw new InvalidOperationException("the healthy circuit has no operating point");
        }
        healthy = workspace.Volts.ToArray();
    }

    /// <summary>Hypotheses solved so far.</summary>
    public int Solved { get; private set; }

    /// <summary>Every single fault at every value of its grid and at the ends of its range; names of those that do not settle.</summary>
    public ImmutableArray<string> Singles() =>
        [
            .. classes.SelectMany(fault =>
                Values(fault).Select(value => Solve((fault, value))).OfType<string>()
            ),
        ];

    /// <summary>Random pairs, values drawn between the ends of their ranges, every decade equally likely.</summary>
    public ImmutableArray<string> Pairs(int count, int seed)
    {
        var random = new Random(seed);
        var failed = ImmutableArray.CreateBuilder<string>();
        for (var tried = 0; tried < count; )
        {
            var (first, second) = (Draw(random), Draw(random));
            // Two faults of one joint or value are no pair.
            if (FaultSet.Healthy.With(first.Fault)?.With(second.Fault) is null)
            {
                continue;
            }
            tried++;
            if (Solve(first, second) is { } name)
            {
                failed.Add(name);
            }
        }
        return failed.ToImmutable();
    }

    private static IEnumerable<double> Values(FaultClass fault) =>
        fault.Range.Grid.Prepend(fault.Range.Low).Append(fault.Range.High).Distinct();

    private (FaultClass Fault, double Value) Draw(Random random)
    {
        var fault = classes[random.Next(classes.Length)];
        return (
            fault,
            fault.Range.Low * Math.Pow(fault.Range.High / fault.Range.Low, random.NextDouble())
        );
    }

    private string? Solve(params ReadOnlySpan<(FaultClass Fault, double Value)> set)
    {
        workspace.Restore();
        foreach (var (fault, value) in set)
        {
            foreach (var alteration in fault.Alterations)
            {
                Apply(alteration, value);
            }
        }
        Solved++;
        return workspace.Solve(healthy).Converged ? null : Name(set);
    }

    private void Apply(Alteration alteration, double value)
    {
        var size = alteration.Coefficient * value;
        switch (alteration.Kind)
        {
            case AlterationKind.Parameter:
                workspace.Set(alteration.A, size);
                break;
            case AlterationKind.Bridge:
                workspace.Bridge(alteration.A, alteration.B, size);
                break;
            case AlterationKind.Break:
                workspace.Break(alteration.A, size);
                break;
            case AlterationKind.Inject:
                workspace.Inject(alteration.A, alteration.B, size);
                break;
        }
    }

    private static string Name(ReadOnlySpan<(FaultClass Fault, double Value)> set)
    {
        var names = new List<string>();
        foreach (var (fault, value) in set)
        {
            var named = fault.Identities[0].Fault;
            names.Add(
                FormattableString.Invariant($"{named.Part} {named.Pin} {named.Mode} {value:G3}")
            );
        }
        return string.Join(" + ", names);
    }
}
