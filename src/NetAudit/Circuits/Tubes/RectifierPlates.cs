using System.Globalization;
using System.Text.RegularExpressions;

namespace NetAudit.Circuits.Tubes;

/// <summary>The plate laws of the rectifier tubes in the built-in <c>tubes.lib</c>. Thread-safe.</summary>
internal static partial class RectifierPlates
{
    private static readonly Lazy<Dictionary<string, PlateRectifier>> Laws = new(Load);

    /// <summary>The law of one plate of a type, or null when the built-in library has no such rectifier.</summary>
    public static PlateRectifier? Find(string type) => Laws.Value.GetValueOrDefault(type);

    private static Dictionary<string, PlateRectifier> Load()
    {
        using var stream =
            typeof(RectifierPlates).Assembly.GetManifestResourceStream("Data/tubes.lib")
            ?? throw new InvalidOperationException("The tube library is not embedded.");
        using var reader = new StreamReader(stream);
        var laws = new Dictionary<string, PlateRectifier>(StringComparer.OrdinalIgnoreCase);
        foreach (Match header in Header().Matches(reader.ReadToEnd()))
        {
            laws.Add(
                header.Groups["type"].Value,
                new PlateRectifier(
                    Number(header, "perveance"),
                    Number(header, "exponent"),
                    Number(header, "width")
                )
            );
        }
        return laws;
    }

    private static double Number(Match header, string group) =>
        double.Parse(header.Groups[group].Value, CultureInfo.InvariantCulture);

    // As the fit writes it; a test holds that every rectifier of the tube table has one.
    [GeneratedRegex(
        @"^\.subckt (?<type>\S+) P1 P2 K PARAMS: PERV=(?<perveance>\S+) EX=(?<exponent>\S+) VW=(?<width>\S+)\s*$",
        RegexOptions.Multiline
    )]
    private static partial Regex Header();
}
