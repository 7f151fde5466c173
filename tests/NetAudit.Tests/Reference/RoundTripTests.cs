using NetAudit.Circuits;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.Ngspice;
using NetAudit.Reference.RandomNetlists;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>
/// The reader alone: ngspice finds the same operating point in a netlist as its author wrote it and in the flat circuit that we made of
/// it, written out again. Our solver has no part in this.
/// </summary>
public class RoundTripTests
{
    private const double Relative = 1e-7;

    [Fact]
    public void FlatCircuit_OfRandomNetlists_SolvesAsTheSource()
    {
        NgspiceRequirement.Check();
        var differences = Enumerable
            .Range(0, 200)
            .SelectMany(seed => Differences(RandomNetlist.Make(seed), $"seed-{seed}.cir"));
        Assert.Empty(differences);
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void FlatCircuit_OfFile_SolvesAsTheSource(string file)
    {
        NgspiceRequirement.Check();
        var folder = file.StartsWith("marram", StringComparison.Ordinal)
            ? RepositoryFiles.Samples
            : RepositoryFiles.Decks;
        Assert.Empty(Differences(File.ReadAllText(Path.Combine(folder, file)), file));
    }

    public static TheoryData<string> Files =>
        [
            .. Directory
                .GetFiles(RepositoryFiles.Samples, "*.cir")
                .Concat(Directory.GetFiles(RepositoryFiles.Decks, "*.cir"))
                .Select(path => Path.GetFileName(path))
                .Order(),
        ];

    private static List<string> Differences(string text, string name)
    {
        using var folder = new NgspiceFolder(RepositoryFiles.TubeLibrary);
        var path = folder.Add(name, text);
        var read = CircuitReader.ReadFile(path);
        if (read.Circuit is not { } circuit)
        {
            return [.. read.Diagnostics.Select(d => $"{name}: {d}")];
        }
        var nodes = circuit.Nodes.Where(node => node.Index > 0 && !node.Internal).ToArray();
        return NgspiceSession.Use(session =>
        {
            session.LoadFile(path);
            Assert.True(session.OperatingPoint(), session.Log);
            var source = nodes
                .Select(node => session.Value(node.Name.ToLowerInvariant()))
                .ToArray();
            session.Load(FlatNetlist.Write(circuit));
            Assert.True(session.OperatingPoint(), session.Log);
            return nodes
                .Zip(source)
                .Where(pair =>
                    Math.Abs(session.Value(FlatNetlist.Node(pair.First.Index)) - pair.Second)
                    > Relative * (1 + Math.Abs(pair.Second))
                )
                .Select(pair => $"{name} {pair.First.Name}")
                .ToList();
        });
    }
}
