using System.Reflection;
using System.Text;
using NetAudit.Circuits;
using Snapshooter.Xunit3;
using Xunit;

namespace NetAudit.Tests.Architecture;

/// <summary>What hosts and other programs build on is recorded: a change of the library's public members is meant, or it fails here.</summary>
public class PublicSurfaceTests
{
    private const BindingFlags Own =
        BindingFlags.Public
        | BindingFlags.Instance
        | BindingFlags.Static
        | BindingFlags.DeclaredOnly;

    [Fact]
    public void Library_PublicMembers_AreAsRecorded()
    {
        var text = new StringBuilder();
        foreach (
            var type in typeof(Circuit)
                .Assembly.GetExportedTypes()
                .OrderBy(type => type.FullName, StringComparer.Ordinal)
        )
        {
            text.Append(type.FullName).Append('\n');
            foreach (
                var member in type.GetMembers(Own)
                    .Where(member => !IsWrittenByTheCompiler(type, member))
                    .Select(member => member.ToString()!)
                    .Order(StringComparer.Ordinal)
            )
            {
                text.Append("    ").Append(member).Append('\n');
            }
        }
        Snapshot.Match(text.ToString());
    }

    // Accessors stand with their properties; what every record has says nothing about one.
    private static bool IsWrittenByTheCompiler(Type type, MemberInfo member) =>
        member is MethodBase { IsSpecialName: true } and not ConstructorInfo
        || member.Name.Contains('<', StringComparison.Ordinal)
        || (
            type.GetMethod("<Clone>$") is not null
            && member.Name is "Equals" or "GetHashCode" or "ToString" or "Deconstruct"
        );
}
