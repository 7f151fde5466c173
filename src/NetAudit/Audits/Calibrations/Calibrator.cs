using System.Collections.Immutable;
using System.Numerics.Tensors;
using MathNet.Numerics;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Audits.Calibrations;

/// <summary>
/// Fits what differs between healthy units (part values, tube strengths, wall voltage) to readings: the most probable amounts given the
/// readings (maximum a posteriori), by Gauss-Newton steps that linearise anew.
/// </summary>
/// <remarks>
/// With z the amounts in standard deviations, J their effect on the readings and S = J J' + D, the amounts given the readings have the
/// covariance I - J' inv(S) J. Of it the diagonal is kept: what the readings leave of each spread by itself.
/// </remarks>
public static class Calibrator
{
    private const int Relinearisations = 20;

    /// <summary>A term that moved less, in standard deviations, and of which as much is left, is not worth writing down.</summary>
    private const double LeastMoved = 0.005;
    private const double MostLeft = 0.999;

    /// <summary>Fits an amplifier.</summary>
    /// <param name="amplifier">The amplifier, not yet calibrated.</param>
    /// <param name="readings">Readings of a known-good unit, or null for the voltages published in the sheet.</param>
    /// <param name="sameUnit">
    /// True when the unit that is to be diagnosed later is the one that was read: then its parts are known the better for it. Else the
    /// nominal point moves and the spread about it stays, because the next unit has other parts.
    /// </param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>The result, or null with what is in the way.</returns>
    public static (CalibrationResult? Result, Diagnostic? Problem) Fit(
        Amplifier amplifier,
        IReadOnlyList<Reading>? readings,
        bool sameUnit,
        CancellationToken cancellationToken = default
    )
    {
        var (diagnoser, problem) = Diagnoser.Prepare(amplifier, cancellationToken);
        if (diagnoser is null)
        {
            return (null, problem);
        }
        var selection = readings is null
            ? PublishedReadings.Of(diagnoser.Healthy)
            : ReadingSelection.Of(readings, diagnoser.Healthy, cancellationToken);
        if (selection.Weighed.IsEmpty)
        {
            return (
                null,
                Problem(
                    readings is null
                        ? "the sheet holds no [published] voltages to calibrate to"
                        : "there is no reading that can be weighed"
                )
            );
        }
        var predictor = new Predictor(
            selection.Groups,
            diagnoser.Healthy.Spread,
            diagnoser.Healthy.Meter
        );
        var evaluator = new SetEvaluator(predictor, new ReadingEvidence(selection.Weighed, 0));
        var start = selection
            .Groups.SelectMany(group => diagnoser.Healthy.VoltsIn(group.Scene, cancellationToken)!)
            .ToArray();
        evaluator.Screen(FaultSet.Healthy, [], [], [], start, cancellationToken);
        double[] before = [.. predictor.Mean];
        var fit = evaluator.Refine(
            FaultSet.Healthy,
            [],
            [],
            start,
            Relinearisations,
            cancellationToken
        );
        if (!fit.Converged)
        {
            return (null, Problem("the circuit does not settle near the readings"));
        }
        var terms = Terms(diagnoser.Healthy.Spread, evaluator, fit, isDay: readings is not null);
        return (
            new(
                [.. terms.OrderByDescending(term => Math.Abs(term.Moved))],
                Readings(selection, evaluator, before),
                SpecialFunctions.GammaUpperRegularized(
                    selection.Weighed.Length / 2.0,
                    Math.Max(0, fit.Quadratic) / 2
                ),
                readings is null ? null : SuspectIn(diagnoser, readings, cancellationToken),
                new(Titles.Of(amplifier), [.. Kept(terms, sameUnit)]),
                [.. selection.Notes]
            ),
            null
        );
    }

    private static Diagnostic Problem(string message) =>
        new(Severity.Error, null, message, "give readings of a known-good unit");

    private static List<MovedTerm> Terms(
        SpreadModel spread,
        SetEvaluator evaluator,
        Evaluation fit,
        bool isDay
    )
    {
        var predictor = evaluator.Predictor;
        var left = Left(evaluator);
        var acting = spread.Terms.Where(term =>
            term.Parameters.All(parameter => predictor.ColumnOf(parameter) >= 0)
        );
        return
        [
            .. acting.Select(
                (term, i) =>
                    new MovedTerm(
                        term.Name,
                        fit.Amounts[i],
                        term.IsFactor ? Math.Exp(term.Sigma * fit.Amounts[i]) : 1,
                        term.IsFactor ? 0 : term.Sigma * fit.Amounts[i],
                        left[i],
                        IsCarried: !(isDay && term.IsMains)
                    )
            ),
        ];
    }

    /// <summary>Standard deviations that the readings leave: roots of the diagonal of I - J' inv(S) J.</summary>
    private static double[] Left(SetEvaluator evaluator)
    {
        var predictor = evaluator.Predictor;
        var whitened = predictor.Jacobian.ToArray();
        evaluator.Gaussian.Whiten(whitened, predictor.Width);
        var told = new double[predictor.Width];
        for (var reading = 0; reading < predictor.Readings; reading++)
        {
            var row = whitened.AsSpan(reading * predictor.Width, predictor.Width);
            TensorPrimitives.MultiplyAdd<double>(row, row, told, told);
        }
        return [.. told.Select(share => Math.Sqrt(Math.Max(0, 1 - share)))];
    }

    private static ImmutableArray<FittedReading> Readings(
        ReadingSelection selection,
        SetEvaluator evaluator,
        double[] before
    )
    {
        var given = new double[before.Length];
        evaluator.Gaussian.GivenOthers(evaluator.Residual, given);
        return
        [
            .. selection.Weighed.Select(
                (weighed, i) =>
                    new FittedReading(
                        weighed.Reading.At,
                        weighed.Reading.Value,
                        RowScale.Value(weighed.Row, before[i]),
                        RowScale.Value(weighed.Row, evaluator.Predictor.Mean[i]),
                        given[i]
                    )
            ),
        ];
    }

    private static IEnumerable<CalibratedTerm> Kept(List<MovedTerm> terms, bool sameUnit) =>
        terms
            .Where(term =>
                term.IsCarried
                && (Math.Abs(term.Moved) > LeastMoved || (sameUnit && term.Left < MostLeft))
            )
            .Select(term => new CalibratedTerm(
                term.Name,
                term.Factor,
                term.Offset,
                sameUnit ? term.Left : 1
            ));

    private static Suspect? SuspectIn(
        Diagnoser diagnoser,
        IReadOnlyList<Reading> readings,
        CancellationToken cancellationToken
    )
    {
        var options = new DiagnosisOptions { MaxFaults = 2, WithNext = false };
        var result = diagnoser.Diagnose(readings, options, cancellationToken);
        return result.Verdict == Verdict.Fault ? result.Suspects[0] : null;
    }
}
