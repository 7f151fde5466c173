using Xunit;

namespace NetAudit.Tests.Architecture;

/// <summary>
/// The layers of the library, read from the compiled assembly, so that lambdas, generated classes and fully qualified names count too.
/// </summary>
public sealed class LayerTests
{
    /// <summary>In reading order: each may use itself and those above it.</summary>
    private static readonly string[] Layers =
    [
        "Common",
        "Netlists",
        "Circuits",
        "Simulation",
        "Expectations",
        "Diagnosis",
        "Practice",
        "Audits",
        "Jobs",
    ];

    [Fact]
    public void Library_EveryNamespace_UsesOnlyLayersAboveIt()
    {
        var violations =
            from use in CompiledTypes.Uses(CompiledTypes.Library)
            let user = Layer(use.From)
            let used = Layer(use.To)
            where user is not null && used is not null
            where Array.IndexOf(Layers, used) > Array.IndexOf(Layers, user)
            select $"{use.From} uses {use.To}";

        Assert.Empty(violations.Distinct().Order());
    }

    [Fact]
    public void Library_EveryType_BelongsToALayer()
    {
        var strays = CompiledTypes
            .All(CompiledTypes.Library)
            .Where(type => type.Namespace.StartsWith("NetAudit", StringComparison.Ordinal))
            .Where(type => Layer(type.FullName) is not { } layer || !Layers.Contains(layer))
            .Select(type => type.FullName);

        Assert.Empty(strays);
    }

    [Fact]
    public void ParserRuntime_IsUsedByNetlistsOnly()
    {
        var users = CompiledTypes
            .Uses(CompiledTypes.Library)
            .Where(use => use.To.StartsWith("Antlr4.", StringComparison.Ordinal))
            .Select(use => use.From)
            .Where(from => Layer(from) != "Netlists");

        Assert.Empty(users.Distinct());
    }

    [Fact]
    public void CommandLine_SeesOnlyWhatIsPublic()
    {
        // The host talks to the library's public door; InternalsVisibleTo is for tests and benchmarks.
        var granted = CompiledTypes
            .Library.Assembly.CustomAttributes.Where(a =>
                a.AttributeType.Name == "InternalsVisibleToAttribute"
            )
            .Select(a => (string)a.ConstructorArguments[0].Value);

        Assert.DoesNotContain("NetAudit.Cli", granted);
        Assert.DoesNotContain("NetAudit.Bench", granted);
    }

    [Fact]
    public void Namespaces_NeverEqualATypeName()
    {
        var types = CompiledTypes.All(CompiledTypes.Library).ToArray();
        var namespaces = types
            .SelectMany(type => type.Namespace.Split('.'))
            .Where(name => name != "NetAudit")
            .ToHashSet();

        Assert.DoesNotContain(types, type => namespaces.Contains(type.Name));
    }

    // NetAudit.Circuits.Tubes.TubePin: the second name is the layer.
    private static string? Layer(string fullName)
    {
        var names = fullName.Split('.');
        return names.Length > 2 && names[0] == "NetAudit" ? names[1] : null;
    }
}
