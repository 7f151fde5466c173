using System.Globalization;
using NetAudit.Common;
using NetAudit.Expectations;
using NetAudit.Jobs.Storage;

namespace NetAudit.Jobs;

/// <content>What happens at the bench: readings, checks, steps, prices, cautions.</content>
public sealed partial class JobStore
{
    /// <summary>Keeps a reading.</summary>
    public Kept AddReading(long job, ReadingPhase phase, Reading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        string Cell(string column) => ReadingLine.Field(reading, column);
        if (TooLong(Cell("at") + Cell("note") + Cell("condition")) is { } tooLong)
        {
            return new Kept(0, tooLong);
        }
        long number = 0;
        var failed = Change(
            job,
            transaction =>
            {
                number = transaction.Next("reading", job);
                transaction.InsertReading(
                    job,
                    new JobReading(
                        number,
                        phase,
                        Cell("at"),
                        Cell("kind"),
                        Cell("value"),
                        Cell("ref"),
                        Cell("condition"),
                        Cell("note"),
                        _clock.GetUtcNow(),
                        TakenBack: false
                    )
                );
            }
        );
        return failed is null ? new Kept(number, null) : new Kept(0, failed);
    }

    /// <summary>Takes a reading back, or gives it back. It stays in the record as taken back.</summary>
    public Diagnostic? TakeBack(long job, long reading, bool takenBack = true) =>
        Change(
            job,
            transaction =>
                transaction.Run(
                    "UPDATE reading SET taken_back = $back WHERE job = $job AND number = $number",
                    ("$back", takenBack ? 1 : 0),
                    ("$job", job),
                    ("$number", reading)
                )
        );

    /// <summary>Keeps the answer to a first check, in the place of an earlier one.</summary>
    public Diagnostic? SetCheck(long job, string check, string answer, string note) =>
        check.Length > FirstChecks.LongestAnswer
        || answer.Length > FirstChecks.LongestAnswer
        || note.Length > JobFields.LongestText
            ? new Diagnostic(
                Severity.Error,
                null,
                "the answer is too long to be kept",
                "shorten it"
            )
            : Change(
                job,
                transaction =>
                    transaction.SetCheck(
                        job,
                        new CheckAnswer(check, answer, note, _clock.GetUtcNow())
                    )
            );

    /// <summary>Keeps a step of the work.</summary>
    public Kept AddStep(long job, StepKind kind, string part, string text, string partUsed)
    {
        if (TooLong(part + text + partUsed) is { } tooLong)
        {
            return new Kept(0, tooLong);
        }
        long number = 0;
        var failed = Change(
            job,
            transaction =>
            {
                number = transaction.Next("step", job);
                transaction.InsertStep(
                    job,
                    new WorkStep(number, kind, part, text, partUsed, _clock.GetUtcNow())
                );
            }
        );
        return failed is null ? new Kept(number, null) : new Kept(0, failed);
    }

    /// <summary>Strikes a step out.</summary>
    public Diagnostic? RemoveStep(long job, long step) => Remove("step", job, step);

    /// <summary>Keeps a price line.</summary>
    public Kept AddPrice(long job, string text, bool isLabour, decimal quantity, decimal unitPrice)
    {
        if (TooLong(text) is { } tooLong)
        {
            return new Kept(0, tooLong);
        }
        if (Math.Abs(quantity) > 1_000_000 || Math.Abs(unitPrice) > 1_000_000_000)
        {
            return new Kept(
                0,
                new Diagnostic(
                    Severity.Error,
                    null,
                    "the quantity or the price is out of all measure"
                )
            );
        }
        long number = 0;
        var failed = Change(
            job,
            transaction =>
            {
                number = transaction.Next("price", job);
                transaction.InsertPrice(
                    job,
                    new PriceLine(number, text, isLabour, quantity, unitPrice)
                );
            }
        );
        return failed is null ? new Kept(number, null) : new Kept(0, failed);
    }

    /// <summary>Strikes a price line out.</summary>
    public Diagnostic? RemovePrice(long job, long price) => Remove("price", job, price);

    /// <summary>Records that cautions were read, each once.</summary>
    public Diagnostic? Acknowledge(long job, IEnumerable<string> cautions) =>
        Change(
            job,
            transaction =>
            {
                foreach (var caution in cautions)
                {
                    transaction.InsertCaution(
                        job,
                        new Acknowledgement(caution, _clock.GetUtcNow())
                    );
                }
            }
        );

    private Diagnostic? Remove(string table, long job, long number) =>
        Change(
            job,
            transaction =>
                transaction.Run(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"DELETE FROM {table} WHERE job = $job AND number = $number"
                    ),
                    ("$job", job),
                    ("$number", number)
                )
        );
}
