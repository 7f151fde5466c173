namespace NetAudit.Jobs;

/// <summary>Where a job stands.</summary>
public enum JobState
{
    /// <summary>Taken in, not begun.</summary>
    TakenIn,

    /// <summary>On the bench.</summary>
    OnBench,

    /// <summary>Waiting for parts or for the owner's word.</summary>
    Waiting,

    /// <summary>Repaired, to be collected.</summary>
    Ready,

    /// <summary>Closed.</summary>
    Closed,
}

/// <summary>What is written on a job. The names are those of columns and JSON keys, see <see cref="JobFields.Name"/>.</summary>
public enum JobField
{
    /// <summary>The owner's own words.</summary>
    Words,

    /// <summary>One of <see cref="NetAudit.Diagnosis.Complaints.All"/>, or empty.</summary>
    Complaint,

    /// <summary>Model.</summary>
    Model,

    /// <summary>Variant (revision) of the model.</summary>
    Variant,

    /// <summary>Serial number.</summary>
    Serial,

    /// <summary>Age in years, as written.</summary>
    Age,

    /// <summary>Wall voltage, as written.</summary>
    Mains,

    /// <summary>Owner's name.</summary>
    Owner,

    /// <summary>How the owner is reached.</summary>
    Contact,

    /// <summary>What was found, for the owner.</summary>
    Found,

    /// <summary>What is advised and why, for the owner.</summary>
    Advice,

    /// <summary>The bench's own notes.</summary>
    Notes,

    /// <summary>Part that was confirmed as the cause.</summary>
    CausePart,

    /// <summary>What was wrong with it: a name of a fault mode.</summary>
    CauseMode,

    /// <summary>The view in which the job was left.</summary>
    View,
}

/// <summary>Before the work or after it.</summary>
public enum ReadingPhase
{
    /// <summary>As the unit came in, and while looking for the fault.</summary>
    Before,

    /// <summary>After the repair.</summary>
    After,
}

/// <summary>The answer to a first check.</summary>
/// <param name="Check">Key of the check.</param>
/// <param name="Answer">The answer.</param>
/// <param name="Note">What else was seen.</param>
/// <param name="At">When.</param>
public sealed record CheckAnswer(string Check, string Answer, string Note, DateTimeOffset At);

/// <summary>A reading as it was kept: the cells of a readings file.</summary>
/// <param name="Number">Number in its job, from 1, never used twice.</param>
/// <param name="Phase">Before or after the work.</param>
/// <param name="At">Where.</param>
/// <param name="Kind">What kind.</param>
/// <param name="Value">The value, or an observation's word.</param>
/// <param name="Ref">Against what; empty for chassis.</param>
/// <param name="Condition">In which condition; empty when powered normally.</param>
/// <param name="Note">Free text.</param>
/// <param name="Taken">When it was kept.</param>
/// <param name="TakenBack">True when it was taken back since.</param>
public sealed record JobReading(
    long Number,
    ReadingPhase Phase,
    string At,
    string Kind,
    string Value,
    string Ref,
    string Condition,
    string Note,
    DateTimeOffset Taken,
    bool TakenBack
);

/// <summary>What was done to a part.</summary>
public enum StepKind
{
    /// <summary>A part was replaced.</summary>
    Replaced,

    /// <summary>A joint was reflowed.</summary>
    Reflowed,

    /// <summary>A contact was cleaned.</summary>
    Cleaned,

    /// <summary>Something was adjusted.</summary>
    Adjusted,

    /// <summary>Something else.</summary>
    Other,
}

/// <summary>One thing done.</summary>
/// <param name="Number">Number in its job, from 1.</param>
/// <param name="Kind">What was done.</param>
/// <param name="Part">To which part; may be empty.</param>
/// <param name="Text">In words.</param>
/// <param name="PartUsed">The part that was used; empty for none.</param>
/// <param name="At">When.</param>
public sealed record WorkStep(
    long Number,
    StepKind Kind,
    string Part,
    string Text,
    string PartUsed,
    DateTimeOffset At
);

/// <summary>A line of the bill.</summary>
/// <param name="Number">Number in its job, from 1.</param>
/// <param name="Text">What for.</param>
/// <param name="IsLabour">True for labour, false for a part or anything else.</param>
/// <param name="Quantity">How many, or hours.</param>
/// <param name="UnitPrice">Price of one, in the shop's currency.</param>
public sealed record PriceLine(
    long Number,
    string Text,
    bool IsLabour,
    decimal Quantity,
    decimal UnitPrice
)
{
    /// <summary>Price of the line.</summary>
    public decimal Total => decimal.Round(Quantity * UnitPrice, 2);
}

/// <summary>A caution that was read and acknowledged.</summary>
/// <param name="Text">The caution.</param>
/// <param name="At">When it was acknowledged.</param>
public sealed record Acknowledgement(string Text, DateTimeOffset At);
