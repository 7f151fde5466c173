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
/// Runs the tests of some namespaces against the woven library; those that compare whole amplifiers with ngspice take too long to be run
/// for every slip.
/// </summary>
/// <param name="isOwn">Whether the tests are those of the folder itself.</param>
/// <param name="namespaces">Namespaces below NetAudit.Tests, with <c>*</c> for any end.</param>
internal sealed class TestRun(bool isOwn, params string[] namespaces)
{
    private static readonly TimeSpan Longest = TimeSpan.FromMinutes(10);

    private HashSet<int> _seen = [];
    private TimeSpan _most;

    private static readonly string[] Slow =
    [
        "*.Reference.Sample*",
        "*.TransientSampleTests",
        "*.NgspiceLevelTests",
        "*.DriveAgainstNgspiceTests",
        "*StressAgainstNgspiceTests",
    ];

    /// <summary>
    /// The runs that judge a slip in a folder of src/NetAudit, one after the other until one fails, as far as their tests come by the
    /// slip: first the tests of the folder itself, then those of what stands on it. Left out is what takes minutes and sees little more
    /// (audits, documents).
    /// </summary>
    public static IReadOnlyList<TestRun> Of(string folder) =>
        folder switch
        {
            "Netlists" => [new(true, "Netlists*", "Circuits*"), new(false, "Tubes*", "Hostile*")],
            // Followed in time by what predicts clipping and switch-on.
            "Simulation" =>
            [
                new(true, "Simulation*", "Expectations*"),
                new(false, "Tubes*", "Hostile*", "Reference*"),
            ],
            // Its steps, each alone, then all of it on units of the sample circuits; the command's tests hold its words and JSON.
            "Diagnosis" =>
            [
                new(true, "Diagnosis.*"),
                new(true, "Diagnosis"),
                new(false, "Practice*", "Jobs*"),
                new(false, "Cli*"),
            ],
            _ => [new(true, folder.Replace('/', '.') + "*")],
        };

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
            },
            // Code that runs for seconds only does not repay being watched for what to compile better.
            Environment = { [variable] = value, ["DOTNET_TieredPGO"] = "0" },
        };
        foreach (var tests in Slow)
        {
            start.ArgumentList.Add("-class-");
            start.ArgumentList.Add(tests);
        }
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
