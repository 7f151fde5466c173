using NetAudit.Benchmarks.Figures;

namespace NetAudit.Benchmarks;

/// <summary>Something that can be measured.</summary>
/// <param name="Run">Measures and writes; returns the exit code.</param>
/// <param name="Options">Names of the options that it reads, each with a value.</param>
internal sealed record Verb(Func<Options, int> Run, string[] Options)
{
    /// <summary>The first argument that is neither an option of this verb nor its value, or an option without one; null when all are right.</summary>
    public string? FirstWrong(IReadOnlyList<string> arguments)
    {
        for (var i = 0; i < arguments.Count; i += 2)
        {
            if (!Takes(arguments[i]) || i + 1 == arguments.Count)
            {
                return arguments[i];
            }
        }
        return null;
    }

    /// <summary>Whether a word is an option of this verb.</summary>
    public bool Takes(string word) => Options.Any(option => word == "--" + option);
}
