using System.Globalization;
using NetAudit.Common;

namespace NetAudit.Audits.Services;

/// <summary>Ratings that parts are made for, <c>Data/standard-ratings.csv</c>.</summary>
internal static class StandardRatings
{
    private static readonly Lazy<Dictionary<string, double[]>> Ratings = new(Load);

    /// <summary>The least standard rating of that much or more, volts of a capacitor or watts of a resistor, or null when none is as high.</summary>
    public static double? AtLeast(string kind, double needed) =>
        Ratings
            .Value[kind]
            .Where(standard => standard >= needed)
            .Select(v => (double?)v)
            .FirstOrDefault();

    private static Dictionary<string, double[]> Load() =>
        EmbeddedTable
            .Read("standard-ratings.csv")
            .ToDictionary(
                row => row["kind"],
                row =>
                    row["ratings"]
                        .Split(' ')
                        .Select(text => double.Parse(text, CultureInfo.InvariantCulture))
                        .Order()
                        .ToArray()
            );
}
