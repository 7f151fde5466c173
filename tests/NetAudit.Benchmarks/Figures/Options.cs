using System.Globalization;

namespace NetAudit.Benchmarks.Figures;

/// <summary>Options of a verb: <c>--name value</c> pairs, all with defaults.</summary>
internal sealed class Options
{
    private readonly Dictionary<string, string> given = new(StringComparer.Ordinal);

    public Options(IReadOnlyList<string> arguments)
    {
        for (var i = 0; i + 1 < arguments.Count; i += 2)
        {
            given[arguments[i]] = arguments[i + 1];
        }
    }

    public string Text(string name, string otherwise) =>
        given.GetValueOrDefault("--" + name, otherwise);

    public int Count(string name, int otherwise) =>
        given.TryGetValue("--" + name, out var text)
            ? int.Parse(text, CultureInfo.InvariantCulture)
            : otherwise;

    /// <summary>The folder of the sample circuits.</summary>
    public string Samples => Text("samples", "sample-circuits");

    /// <summary>The file the figures go to.</summary>
    public string Output => Text("output", Path.Combine("docs", "figures.md"));
}
