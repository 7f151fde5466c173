using System.Diagnostics;
using System.Text;
using NetAudit.Fuzz.Targets;

namespace NetAudit.Fuzz.Loop;

/// <summary>
/// Feeds a target with texts of its grammar and damaged ones, the same on every run of a seed. What breaks a promise is a
/// <see cref="Finding"/>; what kills the process is in the file that holds the text being run.
/// </summary>
public sealed class FuzzLoop(FuzzTarget target, IReadOnlyList<string> corpus, int seed)
{
    /// <summary>Longest a text may take. Texts here are short; a loaded machine is allowed for.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);

    /// <summary>Bytes a short text may allocate in all, most of them given back at once.</summary>
    public const long MostBytes = 1_000_000_000;

    private readonly Random _random = new(seed);

    /// <summary>Text in work, when it should outlive a crash of the process.</summary>
    public string? LastInputFile { get; init; }

    /// <summary>Runs so many texts, or fewer when cancelled, and says what was found.</summary>
    public IEnumerable<Finding> Run(long texts, CancellationToken cancellationToken)
    {
        var mutator = new Mutator(_random, target.Grammar.Words);
        for (var i = 0L; i < texts && !cancellationToken.IsCancellationRequested; i++)
        {
            var text = Next(mutator);
            if (LastInputFile is { } path)
            {
                File.WriteAllText(path, text);
            }
            if (Try(target, text) is { } finding)
            {
                yield return finding;
            }
        }
    }

    /// <summary>Runs one text; null when all promises hold.</summary>
    public static Finding? Try(FuzzTarget target, string text)
    {
        var finding = Once(target, text);
        // What was slow is run again: it may have waited for the compiler.
        return finding is { IsSlow: true } ? Once(target, text) : finding;
    }

    private static Finding? Once(FuzzTarget target, string text)
    {
        var clock = Stopwatch.StartNew();
        var before = GC.GetAllocatedBytesForCurrentThread();
        try
        {
            target.Check(text);
        }
        // Whatever a parser throws is a finding.
#pragma warning disable CA1031
        catch (Exception fault)
#pragma warning restore CA1031
        {
            return new Finding(text, fault.ToString());
        }
        var bytes = GC.GetAllocatedBytesForCurrentThread() - before;
        return clock.Elapsed > Patience ? new Finding(text, $"took {clock.Elapsed}", IsSlow: true)
            : bytes > MostBytes ? new Finding(text, $"allocated {bytes} bytes")
            : null;
    }

    // A text that a file can hold: half of a surrogate pair cannot be written.
    private string Next(Mutator mutator) =>
        Encoding.UTF8.GetString(Encoding.UTF8.GetBytes(Any(mutator)));

    private string Any(Mutator mutator) =>
        _random.Next(3) switch
        {
            0 => target.Grammar.Draw(_random),
            1 => mutator.Damage(target.Grammar.Draw(_random), Sample()),
            _ => mutator.Damage(Sample(), Sample()),
        };

    private string Sample() =>
        corpus.Count > 0 ? corpus[_random.Next(corpus.Count)] : target.Grammar.Draw(_random);
}
