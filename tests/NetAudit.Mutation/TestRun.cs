using System.Diagnostics;
using System.Globalization;

namespace NetAudit.Mutation;

/// <summary>How a run of tests ended.</summary>
internal enum TestOutcome
{
    Passed,
    Failed,
    TookTooLong,
}

/// <summary>
/// Runs the tests that are about a folder of the library against the woven library; those that compare with ngspice take too long to be
/// run for every slip.
/// </summary>
internal sealed class TestRun
{
    private static readonly TimeSpan Longest = TimeSpan.FromMinutes(10);

    private readonly string[] _namespaces;

    /// <param name="folder">A folder of src/NetAudit.</param>
    public TestRun(string folder) =>
        _namespaces = folder switch
        {
            "Netlists" => ["Netlists", "Circuits"],
            // Followed in time by what predicts clipping and switch-on.
            "Simulation" => ["Simulation", "Expectations"],
            "Diagnosis" => ["Diagnosis", "Practice"],
            _ => [folder],
        };

    /// <summary>The slips that the tests come by without any of them on, and how long they take.</summary>
    public (HashSet<int> Slips, TimeSpan Time) Watch()
    {
        var seen = Path.GetTempFileName();
        var clock = Stopwatch.StartNew();
        if (Run(Longest, "NETAUDIT_MUTANTS_SEEN", seen) != TestOutcome.Passed)
        {
            throw new InvalidOperationException(
                $"{string.Join(", ", _namespaces)}: tests fail without any slip"
            );
        }
        var time = clock.Elapsed;
        var slips = File.ReadLines(seen)
            .Select(line => int.Parse(line, CultureInfo.InvariantCulture))
            .ToHashSet();
        File.Delete(seen);
        return (slips, time);
    }

    /// <summary>Runs the tests with one slip on, until the first fails.</summary>
    public TestOutcome With(int slip, TimeSpan most) =>
        Run(most, "NETAUDIT_MUTANT", slip.ToString(CultureInfo.InvariantCulture));

    private TestOutcome Run(TimeSpan most, string variable, string value)
    {
        var start = new ProcessStartInfo("dotnet")
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            ArgumentList =
            {
                Path.Combine(MutatedLibrary.Tests, "NetAudit.Tests.dll"),
                "-stopOnFail",
                "-class-",
                "*Ngspice*",
            },
            Environment = { [variable] = value },
        };
        foreach (var name in _namespaces)
        {
            start.ArgumentList.Add("-namespace");
            start.ArgumentList.Add($"NetAudit.Tests.{name}*");
        }
        using var process = Process.Start(start)!;
        _ = process.StandardOutput.ReadToEndAsync();
        _ = process.StandardError.ReadToEndAsync();
        if (!process.WaitForExit(most))
        {
            process.Kill(entireProcessTree: true);
            process.WaitForExit();
            return TestOutcome.TookTooLong;
        }
        return process.ExitCode == 0 ? TestOutcome.Passed : TestOutcome.Failed;
    }
}
