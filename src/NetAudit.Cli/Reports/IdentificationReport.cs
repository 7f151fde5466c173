using System.Globalization;
using NetAudit.Audits.Variants;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Cli.Reports;

/// <summary>Which revision is on the bench, and which reading would make surer.</summary>
internal static class IdentificationReport
{
    private const int MostTelling = 5;

    /// <summary>A reading that separates two circuits by less tells nothing.</summary>
    private const double LeastSeparation = 1;

    public static void Write(
        Screen screen,
        VariantIdentification answer,
        IReadOnlyList<Amplifier> variants
    )
    {
        var first = answer.Ranking[0];
        screen.Paragraph(
            $"Most likely {Titles.Of(variants[first.Variant])}: {Figures.Probability(first.Probability)} of "
                + $"{Figures.Count(variants.Count, "circuit")}, by {Figures.Count(answer.Readings, "reading")}, each circuit healthy or with one fault.",
            ink: Ink.Heading
        );
        if (first.Diagnosis is { Verdict: Verdict.Unexplained })
        {
            screen.Paragraph(
                "Even this one does not explain the readings, with any one fault: the unit may be another revision, modified, or have several faults.",
                ink: Ink.Alarm
            );
        }
        screen.Line();
        var table = new TextTable(
            ("circuit", Side.Left),
            ("probability", Side.Right),
            ("log evidence", Side.Right),
            ("then", Side.Left)
        );
        foreach (var ranked in answer.Ranking)
        {
            table.Add(
                Titles.Of(variants[ranked.Variant]),
                ranked.Diagnosis is null ? "unknown" : Figures.Probability(ranked.Probability),
                double.IsFinite(ranked.LogEvidence)
                    ? ranked.LogEvidence.ToString("0.0", CultureInfo.InvariantCulture)
                    : "",
                Explanation(ranked)
            );
        }
        table.Write(screen, "  ");
        WriteTelling(screen, answer);
        foreach (var note in answer.Notes)
        {
            screen.Paragraph(note, "  ", "    ");
        }
        CautionReport.Write(screen, variants[first.Variant]);
    }

    private static string Explanation(RankedVariant ranked) =>
        ranked.Diagnosis switch
        {
            null => "",
            { Healthy: >= 0.5 } => "healthy",
            { Suspects: [var suspect, ..] } => suspect.Faults[0].Describe(),
            _ => "",
        };

    private static void WriteTelling(Screen screen, VariantIdentification answer)
    {
        var shown = answer
            .Telling.Where(telling => telling.Separation >= LeastSeparation)
            .Take(MostTelling)
            .ToArray();
        if (answer.Ranking.Length < 2)
        {
            return;
        }
        screen.Heading("What would tell the first two apart");
        if (shown.Length == 0)
        {
            screen.Paragraph("No further DC voltage would.", "  ");
            return;
        }
        var table = new TextTable(
            ("at", Side.Left),
            ("first", Side.Right),
            ("+-", Side.Right),
            ("second", Side.Right),
            ("+-", Side.Right),
            ("apart by", Side.Right)
        );
        foreach (var telling in shown)
        {
            table.Add(
                telling.At,
                MeterText.Volts(telling.First),
                MeterText.Volts(telling.FirstSigma),
                MeterText.Volts(telling.Second),
                MeterText.Volts(telling.SecondSigma),
                telling.Separation.ToString("0.0", CultureInfo.InvariantCulture) + " sigma"
            );
        }
        table.Write(screen, "  ");
        screen.Paragraph(
            "Volts DC to chassis, as each circuit foretells them from the readings there are; +- one standard deviation.",
            "  "
        );
    }
}
