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
/// Runs the tests of some namespaces against the woven library; those that compare with ngspice take too long to be run for every slip.
/// </summary>
/// <param name="isOwn">Whether the tests are those of the folder itself.</param>
/// <param name="namespaces">Namespaces below NetAudit.Tests, with <c>*</c> for any end.</param>
internal sealed class TestRun(bool isOwn, params string[] namespaces)
{
    private static readonly TimeSpan Longest = TimeSpan.FromMinutes(10);

    private HashSet<int> _seen = [];
    private TimeSpan _most;

    /// <summary>
    /// The runs that judge a slip in a folder of src/NetAudit, one after the other until one fails: first the tests of the folder itself,
    /// then those of whatever uses it, quick ones before slow ones.
    /// </summary>
    public static IReadOnlyList<TestRun> Of(string folder)
    {
        TestRun[] own = folder switch
        {
            "Netlists" => [new(true, "Netlists*", "Circuits*")],
            // Followed in time by what predicts clipping and switch-on.
            "Simulation" => [new(true, "Simulation*", "Expectations*")],
            // Its steps, each alone, then all of it on units of the sample circuits, which takes longer.
            "Diagnosis" => [new(true, "Diagnosis.*"), new(true, "Diagnosis")],
            _ => [new(true, folder.Replace('/', '.') + "*")],
        };
        string[] others =
        [
            "Tubes*",
            "Netlists*",
            "Circuits*",
            "Simulation*",
            "Hostile*",
            "Expectations*",
            "Practice*",
            "Jobs*",
            "Cli*",
            "Audits*",
            "Diagnosis*",
            "Documents*",
        ];
        return
        [
            .. own,
            .. others
                .Where(other => !own.Any(run => run.Has(other)))
                .Select(other => new TestRun(false, other)),
        ];
    }

    /// <summary>Whether the tests are those of the folder itself.</summary>
    public bool IsOwn => isOwn;

    /// <summary>How long the tests take without a slip; valid after <see cref="Watch"/>.</summary>
    public TimeSpan Time { get; private set; }

    /// <summary>Runs the tests without a slip, and takes down which slips they come by.</summary>
    public void Watch()
    {
        var seen = Path.GetTempFileName();
        var clock = Stopwatch.StartNew();
        if (Run(Longest, "NETAUDIT_MUTANTS_SEEN", seen) != TestOutcome.Passed)
        {
            throw new InvalidOperationException(
                $"{string.Join(", ", namespaces)}: tests fail without any slip"
            );
        }
        Time = clock.Elapsed;
        _most = TimeSpan.FromSeconds(30) + 5 * Time;
        _seen =
        [
            .. File.ReadLines(seen).Select(line => int.Parse(line, CultureInfo.InvariantCulture)),
        ];
        File.Delete(seen);
    }

    /// <summary>Whether the tests come by a slip.</summary>
    public bool Sees(int slip) => _seen.Contains(slip);

    /// <summary>Runs the tests with one slip on, until the first fails; true when one does, or never ends.</summary>
    public bool Kills(int slip) =>
        Sees(slip)
        && Run(_most, "NETAUDIT_MUTANT", slip.ToString(CultureInfo.InvariantCulture))
            != TestOutcome.Passed;

    private bool Has(string pattern) =>
        namespaces.Any(name => name.TrimEnd('*', '.') == pattern.TrimEnd('*'));

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
        foreach (var name in namespaces)
        {
            start.ArgumentList.Add("-namespace");
            start.ArgumentList.Add("NetAudit.Tests." + name);
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
