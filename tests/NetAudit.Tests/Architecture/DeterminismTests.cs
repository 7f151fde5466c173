using Xunit;

namespace NetAudit.Tests.Architecture;

/// <summary>The library gives the same answer on every run, every day and in every country.</summary>
public sealed class DeterminismTests
{
    private static readonly HashSet<string> Forbidden =
    [
        "System.Void System.Random::.ctor()",
        "System.Random System.Random::get_Shared()",
        "System.DateTime System.DateTime::get_Now()",
        "System.DateTime System.DateTime::get_UtcNow()",
        "System.DateTime System.DateTime::get_Today()",
        "System.DateTimeOffset System.DateTimeOffset::get_Now()",
        "System.DateTimeOffset System.DateTimeOffset::get_UtcNow()",
        "System.Guid System.Guid::NewGuid()",
        "System.Globalization.CultureInfo System.Globalization.CultureInfo::get_CurrentCulture()",
    ];

    [Fact]
    public void Library_AsksNeitherClockNorChanceNorCountry()
    {
        var calls = CompiledTypes
            .Calls(CompiledTypes.Library)
            .Where(call => Forbidden.Contains(call.To.FullName))
            .Select(call => $"{call.From.FullName} calls {call.To.FullName}");

        Assert.Empty(calls);
    }

    [Fact]
    public void Library_OpensNoConnection()
    {
        var users = CompiledTypes
            .Uses(CompiledTypes.Library)
            .Concat(CompiledTypes.Uses(CompiledTypes.CommandLine))
            .Where(use => use.To.StartsWith("System.Net.", StringComparison.Ordinal))
            .Select(use => use.From);

        Assert.Empty(users.Distinct());
    }
}
