using System.Globalization;

namespace NetAudit.Jobs.Storage;

/// <summary>The statements that write.</summary>
internal static class JobWriting
{
    public static long InsertJob(
        this JobTransaction transaction,
        string opened,
        string changed,
        JobState state,
        CircuitSource? circuit,
        string? origin
    )
    {
        if (circuit is not null)
        {
            transaction.KeepCircuit(circuit);
        }
        return (long)
            transaction.Scalar(
                """
                INSERT INTO job (opened, changed, state, circuit, origin)
                VALUES ($opened, $changed, $state, $circuit, $origin) RETURNING number
                """,
                ("$opened", opened),
                ("$changed", changed),
                ("$state", state.Name()),
                ("$circuit", circuit?.Key),
                ("$origin", origin)
            )!;
    }

    public static void KeepCircuit(this JobTransaction transaction, CircuitSource circuit)
    {
        var added = transaction.Run(
            "INSERT OR IGNORE INTO circuit VALUES ($key, $name, $netlist, $sheet)",
            ("$key", circuit.Key),
            ("$name", circuit.Name),
            ("$netlist", circuit.Netlist),
            ("$sheet", circuit.Sheet)
        );
        if (added == 0)
        {
            return;
        }
        foreach (var (name, content) in circuit.Includes)
        {
            transaction.Run(
                "INSERT INTO include VALUES ($key, $name, $content)",
                ("$key", circuit.Key),
                ("$name", name),
                ("$content", content)
            );
        }
    }

    public static void SetField(
        this JobTransaction transaction,
        long job,
        string name,
        string text
    ) =>
        transaction.Run(
            "INSERT INTO field VALUES ($job, $name, $text) ON CONFLICT DO UPDATE SET content = $text",
            ("$job", job),
            ("$name", name),
            ("$text", text)
        );

    public static void InsertReading(
        this JobTransaction transaction,
        long job,
        JobReading reading
    ) =>
        transaction.Run(
            """
            INSERT INTO reading VALUES
            ($job, $number, $phase, $place, $kind, $value, $ref, $condition, $note, $taken, $back)
            """,
            ("$job", job),
            ("$number", reading.Number),
            ("$phase", reading.Phase.Name()),
            ("$place", reading.At),
            ("$kind", reading.Kind),
            ("$value", reading.Value),
            ("$ref", reading.Ref),
            ("$condition", reading.Condition),
            ("$note", reading.Note),
            ("$taken", JobTime.Write(reading.Taken)),
            ("$back", reading.TakenBack ? 1 : 0)
        );

    public static void SetCheck(this JobTransaction transaction, long job, CheckAnswer answer) =>
        transaction.Run(
            """
            INSERT INTO answer VALUES ($job, $question, $answer, $note, $at)
            ON CONFLICT DO UPDATE SET answer = $answer, note = $note, at = $at
            """,
            ("$job", job),
            ("$question", answer.Check),
            ("$answer", answer.Answer),
            ("$note", answer.Note),
            ("$at", JobTime.Write(answer.At))
        );

    public static void InsertStep(this JobTransaction transaction, long job, WorkStep step) =>
        transaction.Run(
            "INSERT INTO step VALUES ($job, $number, $kind, $part, $content, $used, $at)",
            ("$job", job),
            ("$number", step.Number),
            ("$kind", step.Kind.Name()),
            ("$part", step.Part),
            ("$content", step.Text),
            ("$used", step.PartUsed),
            ("$at", JobTime.Write(step.At))
        );

    public static void InsertPrice(this JobTransaction transaction, long job, PriceLine price) =>
        transaction.Run(
            "INSERT INTO price VALUES ($job, $number, $content, $labour, $quantity, $price)",
            ("$job", job),
            ("$number", price.Number),
            ("$content", price.Text),
            ("$labour", price.IsLabour ? 1 : 0),
            ("$quantity", price.Quantity.ToString(CultureInfo.InvariantCulture)),
            ("$price", price.UnitPrice.ToString(CultureInfo.InvariantCulture))
        );

    public static void InsertCaution(
        this JobTransaction transaction,
        long job,
        Acknowledgement caution
    ) =>
        transaction.Run(
            "INSERT OR IGNORE INTO caution VALUES ($job, $content, $at)",
            ("$job", job),
            ("$content", caution.Text),
            ("$at", JobTime.Write(caution.At))
        );
}
