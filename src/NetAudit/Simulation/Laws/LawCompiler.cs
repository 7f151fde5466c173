using System.Collections.Concurrent;
using System.Diagnostics.CodeAnalysis;
using System.Runtime.InteropServices;

namespace NetAudit.Simulation.Laws;

/// <summary>Compiles the laws of a device, each shape once per process.</summary>
internal static class LawCompiler
{
    // Bounds the memory of a process that reads circuits without end; a shop's library of tube laws has a few dozen shapes.
    private const int MostShapes = 4096;

    private static readonly ConcurrentDictionary<int[], CompiledLaw> Known = new(
        new ShapeComparer()
    );

    /// <summary>The compiled laws, and the constants of this very device before <see cref="CompiledLaw.Prepare"/>.</summary>
    public static (CompiledLaw Law, double[] RawConstants) Compile(
        int inputCount,
        ReadOnlySpan<LawSource> sources,
        double celsius
    )
    {
        var shape = new LawShape();
        shape.Add(inputCount, sources, celsius);
        var tokens = CollectionsMarshal.AsSpan(shape.Tokens);
        if (!Known.GetAlternateLookup<ReadOnlySpan<int>>().TryGetValue(tokens, out var law))
        {
            LawSource[] kept = [.. sources];
            law = Translate(inputCount, kept, celsius);
            law.SetCurvature(() => TranslateCurvature(inputCount, kept, celsius));
            if (Known.Count < MostShapes)
            {
                law = Known.GetOrAdd(tokens.ToArray(), law);
            }
        }
        return (law, [.. shape.Constants]);
    }

    private static CompiledLaw Translate(
        int inputCount,
        ReadOnlySpan<LawSource> sources,
        double celsius
    )
    {
        var (graph, roots, constants) = Build(sources, celsius);
        var partials = new List<(int, int)>();
        for (var input = 0; input < inputCount; input++)
        {
            var derivative = new LawDerivative(graph, input);
            for (var output = 0; output < sources.Length; output++)
            {
                var id = derivative.Of(roots[output]);
                if (!graph.IsLiteral(id, 0))
                {
                    partials.Add((output, input));
                    roots.Add(id);
                }
            }
        }
        return Flatten(graph, roots, constants, inputCount, sources.Length, partials);
    }

    private static LawCurvature TranslateCurvature(
        int inputCount,
        ReadOnlySpan<LawSource> sources,
        double celsius
    )
    {
        var (graph, values, constants) = Build(sources, celsius);
        var derivatives = Enumerable
            .Range(0, inputCount)
            .Select(input => new LawDerivative(graph, input))
            .ToArray();
        var entries = new List<(int, int, int)>();
        var roots = new List<int>();
        for (var output = 0; output < sources.Length; output++)
        {
            for (var first = 0; first < inputCount; first++)
            {
                var slope = derivatives[first].Of(values[output]);
                for (var second = first; second < inputCount; second++)
                {
                    var id = derivatives[second].Of(slope);
                    if (!graph.IsLiteral(id, 0))
                    {
                        entries.Add((output, first, second));
                        roots.Add(id);
                    }
                }
            }
        }
        return new(Flatten(graph, roots, constants, inputCount, roots.Count, []), [.. entries]);
    }

    private static (LawGraph Graph, List<int> Roots, int ConstantCount) Build(
        ReadOnlySpan<LawSource> sources,
        double celsius
    )
    {
        var graph = new LawGraph();
        var builder = new LawBuilder(graph, celsius);
        var roots = new List<int>();
        foreach (var source in sources)
        {
            var voltages = new int[source.PositiveInputs.Length];
            for (var i = 0; i < voltages.Length; i++)
            {
                voltages[i] = graph.Subtract(
                    Control(graph, source.PositiveInputs[i]),
                    Control(graph, source.NegativeInputs[i])
                );
            }
            var currents = source.CurrentInputs.Select(graph.Input).ToArray();
            roots.Add(builder.Build(source.Law, voltages, currents));
        }
        return (graph, roots, builder.ConstantCount);
    }

    private static int Control(LawGraph graph, int input) =>
        input < 0 ? graph.Literal(0) : graph.Input(input);

    // Nodes that a root needs, in the order they were made, become steps; those without an input go to the prologue.
    private static CompiledLaw Flatten(
        LawGraph graph,
        List<int> roots,
        int rawConstants,
        int inputCount,
        int outputCount,
        List<(int, int)> partials
    )
    {
        var needed = new bool[graph.Count];
        foreach (var root in roots)
        {
            needed[root] = true;
        }
        for (var id = graph.Count - 1; id >= 0; id--)
        {
            var node = graph[id];
            if (needed[id] && node.Operation > LawOperation.Input)
            {
                needed[node.A] = true;
                if (node.B >= 0)
                {
                    needed[node.B] = true;
                }
                if (node.C >= 0)
                {
                    needed[node.C] = true;
                }
            }
        }
        var cell = new int[graph.Count];
        var constants = rawConstants;
        var literals = new List<(int, double)>();
        for (var id = 0; id < graph.Count; id++)
        {
            var node = graph[id];
            if (node.Operation == LawOperation.Constant)
            {
                cell[id] = node.A;
            }
            else if (needed[id] && graph.IsFixed(id))
            {
                cell[id] = constants++;
                if (node.Operation == LawOperation.Literal)
                {
                    literals.Add((cell[id], node.Literal));
                }
            }
        }
        var prologue = new List<LawStep>();
        var body = new List<LawStep>();
        var next = constants + inputCount;
        for (var id = 0; id < graph.Count; id++)
        {
            var node = graph[id];
            if (node.Operation == LawOperation.Input)
            {
                cell[id] = constants + node.A;
            }
            else if (needed[id] && node.Operation > LawOperation.Input)
            {
                if (!graph.IsFixed(id))
                {
                    cell[id] = next++;
                }
                (graph.IsFixed(id) ? prologue : body).Add(
                    new(
                        node.Operation,
                        cell[id],
                        cell[node.A],
                        node.B < 0 ? -1 : cell[node.B],
                        node.C < 0 ? -1 : cell[node.C]
                    )
                );
            }
        }
        return new CompiledLaw(
            [.. prologue],
            [.. body],
            rawConstants,
            constants,
            [.. literals],
            inputCount,
            next,
            outputCount,
            [.. partials],
            [.. roots.Select(root => cell[root])]
        );
    }

    private sealed class ShapeComparer
        : IEqualityComparer<int[]>,
            IAlternateEqualityComparer<ReadOnlySpan<int>, int[]>
    {
        public bool Equals(int[]? x, int[]? y) => x.AsSpan().SequenceEqual(y);

        public bool Equals(ReadOnlySpan<int> alternate, int[] other) =>
            alternate.SequenceEqual(other);

        public int GetHashCode([DisallowNull] int[] obj) => GetHashCode(obj.AsSpan());

        public int GetHashCode(ReadOnlySpan<int> alternate)
        {
            var hash = new HashCode();
            hash.AddBytes(MemoryMarshal.AsBytes(alternate));
            return hash.ToHashCode();
        }

        public int[] Create(ReadOnlySpan<int> alternate) => alternate.ToArray();
    }
}
