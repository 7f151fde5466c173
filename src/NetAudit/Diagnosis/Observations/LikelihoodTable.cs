using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Diagnosis.Observations;

/// <summary>How likely observations and complaints are under one fault: <c>Data/evidence-likelihoods.csv</c>. Thread-safe.</summary>
internal static class LikelihoodTable
{
    private const string Complaint = "complaint";
    private const string Healthy = "healthy";
    private const string Otherwise = "otherwise";
    private const string Unremarkable = "normal";

    private static readonly ImmutableArray<Row> Rows =
    [
        .. EmbeddedTable
            .Read("evidence-likelihoods.csv")
            .Select(row => new Row(
                row["kind"],
                row["word"],
                row["about"],
                double.Parse(row["likelihood"], CultureInfo.InvariantCulture)
            )),
    ];

    /// <summary>The likelihood of a complaint under a fault, relative to a fault that has nothing to do with it.</summary>
    public static double ComplaintRatio(string complaint, PartClass partClass, FaultMode mode)
    {
        var className = EnumName.Of(partClass);
        foreach (var row in Of(Complaint, complaint))
        {
            if (
                row.About.Split(':') is [var ofClass, var ofMode]
                && (ofClass == "*" || ofClass == className)
                && (ofMode == "*" || ofMode == mode.Name())
            )
            {
                return row.Likelihood / Find(Complaint, complaint, Otherwise);
            }
        }
        return 1;
    }

    /// <summary>The likelihood of a complaint about a healthy unit, relative to one with a fault that has nothing to do with it.</summary>
    public static double HealthyComplaintRatio(string complaint) =>
        Find(Complaint, complaint, Healthy) / Find(Complaint, complaint, Otherwise);

    /// <summary>
    /// The likelihood of a word under a fault that stands to the part observed as <paramref name="about"/> says, relative to a fault
    /// elsewhere. 1 for a word that the table knows nothing of.
    /// </summary>
    public static double ObservationRatio(string kind, string word, Relation about)
    {
        var elsewhere = Observation(kind, word, Relation.Elsewhere);
        return elsewhere is { } known ? Observation(kind, word, about)!.Value / known : 1;
    }

    private static double? Observation(string kind, string word, Relation about)
    {
        var name = EnumName.Of(about);
        if (Of(kind, word).Any())
        {
            return Find(kind, word, name);
        }
        var named = Rows.Where(r => r.Kind == kind && r.About == name && word == Unremarkable)
            .ToArray();
        return named.Length == 0 ? null : 1 - named.Sum(r => r.Likelihood);
    }

    private static IEnumerable<Row> Of(string kind, string word) =>
        Rows.Where(r => r.Kind == kind && r.Word == word);

    private static double Find(string kind, string word, string about) =>
        Of(kind, word).First(r => r.About == about).Likelihood;

    private sealed record Row(string Kind, string Word, string About, double Likelihood);
}

/// <summary>How a fault stands to the part that an observation was made at.</summary>
internal enum Relation
{
    /// <summary>A joint, socket contact or bridge of that part, or the part is a contact or control.</summary>
    Joint,

    /// <summary>Any other fault of that part.</summary>
    Part,

    /// <summary>A fault of another part.</summary>
    Elsewhere,
}
