using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using Xunit;

namespace NetAudit.Tests.Tubes;

public class TubeReadingTests
{
    public static TheoryData<string> Types => [.. FittedTubes.Types];

    [Theory]
    [MemberData(nameof(Types))]
    public void CircuitReader_TubeOfTheLibrary_IsOneDeviceWithNoInnerNodes(string type)
    {
        string[] lines = ["tube", ".include tubes.lib", .. TubeBenchNetlist.Cards(type), ".end"];
        var read = CircuitReader.ReadText(string.Join('\n', lines), "tube.cir");

        Assert.DoesNotContain(read.Diagnostics, found => found.Severity != Severity.Note);
        var circuit = read.Circuit!;
        var instance = Assert.Single(circuit.Instances);
        Assert.True(instance.IsDevice);
        Assert.Equal(
            TubeBenchNetlist.Ports(type),
            string.Join(' ', instance.Ports.Select(port => port.Port))
        );
        Assert.DoesNotContain(circuit.Nodes, node => node.Internal);
        Assert.All(
            circuit.Elements.Where(element => element.Device is not null),
            element => Assert.All(element.Terminals, terminal => Assert.True(terminal.Pin >= 0))
        );
        Assert.Equal(
            Sources(type),
            circuit
                .Elements.OfType<BehaviouralSource>()
                .Select(source => source.Name.ToUpperInvariant())
        );
    }

    private static ImmutableArray<string> Sources(string type) =>
        TubeBenchNetlist.Ports(type) switch
        {
            "P G K" => ["X1.BP", "X1.BG"],
            "P G K S" => ["X1.BP", "X1.BS", "X1.BG"],
            _ => ["X1.BR1", "X1.BR2"],
        };
}
