using NetAudit.Reference.Ngspice;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>Tests that need ngspice are skipped where it is missing, but never in continuous integration.</summary>
internal static class NgspiceRequirement
{
    public static void Check()
    {
        if (NgspiceSession.IsPresent)
        {
            return;
        }
        var required = Environment.GetEnvironmentVariable("CI") == "true";
        Assert.False(required, "libngspice is missing; install the Debian package ngspice");
        Assert.Skip("libngspice is missing; install the Debian package ngspice");
    }
}
