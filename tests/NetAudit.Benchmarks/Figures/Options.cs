using System.Globalization;

namespace NetAudit.Benchmarks.Figures;

/// <summary>Options of a verb: <c>--name value</c> pairs, all with defaults.</summary>
internal sealed class Options
{
    private readonly Dictionary<string, string> given = new(StringComparer.Ordinal);
    private readonly IReadOnlyCollection<string> names;

    /// <param name="arguments">Options and their values, in turn.</param>
    /// <param name="names">Those that the verb says it reads; reading another is a mistake in the program.</param>
    public Options(IReadOnlyList<string> arguments, IReadOnlyCollection<string> names)
    {
        this.names = names;
        for (var i = 0; i + 1 < arguments.Count; i += 2)
        {
            given[arguments[i]] = arguments[i + 1];
        }
    }

    public string Text(string name, string otherwise) => Given(name) ?? otherwise;

    public int Count(string name, int otherwise) =>
        Given(name) is { } text ? int.Parse(text, CultureInfo.InvariantCulture) : otherwise;

    /// <summary>The folder of the sample circuits.</summary>
    public string Samples => Text("samples", "sample-circuits");

    /// <summary>The file the figures go to.</summary>
    public string Output => Text("output", Path.Combine("docs", "figures.md"));

    private string? Given(string name) =>
        names.Contains(name)
            ? given.GetValueOrDefault("--" + name)
            : throw new InvalidOperationException($"the verb does not say that it reads --{name}");
}
