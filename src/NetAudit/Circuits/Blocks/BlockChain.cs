using NetAudit.Netlists;

namespace NetAudit.Circuits.Blocks;

/// <summary>The blocks of an amplifier along its signal path, the supply last.</summary>
public sealed class BlockChain
{
    private BlockChain(IReadOnlyList<BuildingBlock> blocks) => Blocks = blocks;

    /// <summary>The blocks in order; the last one is a supply and the only one.</summary>
    public IReadOnlyList<BuildingBlock> Blocks { get; }

    /// <summary>The chain of these names, or what is wrong with it and the mend.</summary>
    /// <param name="names">Names of <see cref="BuildingBlock.All"/>, along the signal path.</param>
    public static (BlockChain? Chain, string? Problem, string? Mend) Of(IReadOnlyList<string> names)
    {
        ArgumentNullException.ThrowIfNull(names);
        var known = BuildingBlock.All.Select(block => block.Name).ToArray();
        var blocks = new List<BuildingBlock>();
        foreach (var name in names)
        {
            var block = BuildingBlock.All.FirstOrDefault(block =>
                block.Name.Equals(name, StringComparison.OrdinalIgnoreCase)
            );
            if (block is null)
            {
                var mend =
                    Suggestions.DidYouMean(name, known)
                    ?? $"the blocks are {string.Join(", ", known)}";
                return (null, $"there is no block \"{name}\"", mend);
            }
            blocks.Add(block);
        }
        return Problem(blocks) is var (problem, cure)
            ? (null, problem, cure)
            : (new BlockChain(blocks), null, null);
    }

    private static (string Problem, string Mend)? Problem(List<BuildingBlock> blocks)
    {
        if (blocks.Count < 2 || !blocks[^1].IsSupply || blocks.Count(block => block.IsSupply) > 1)
        {
            return ("a chain is blocks along the signal path and one supply", "end it with supply");
        }
        for (var i = 0; i + 1 < blocks.Count; i++)
        {
            var (block, next) = (blocks[i], blocks[i + 1]);
            if (block.IsOutput && !next.IsSupply)
            {
                return (
                    $"{next.Name} cannot follow {block.Name}, which feeds the loudspeaker",
                    "put the output stage last before the supply"
                );
            }
            if (block.GivesTwo != next.TakesTwo)
            {
                return block.GivesTwo
                    ? (
                        $"{block.Name} gives two halves, and {next.Name} does not take them",
                        "put push-pull after a splitter"
                    )
                    : (
                        $"{next.Name} needs two halves, and {block.Name} does not give them",
                        "put cathodyne or long-tailed before it"
                    );
            }
        }
        return blocks[0].TakesTwo
            ? ($"{blocks[0].Name} needs two halves", "put cathodyne or long-tailed before it")
            : null;
    }
}
