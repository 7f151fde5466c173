using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>What a line of a readings file holds: a measured value, or an observation.</summary>
public enum ReadingKind
{
    /// <summary>Volts DC.</summary>
    Dc,

    /// <summary>Volts AC RMS.</summary>
    Ac,

    /// <summary>Ohms.</summary>
    Ohms,

    /// <summary>Observation: tapped.</summary>
    Tap,

    /// <summary>Observation: wiggled.</summary>
    Wiggle,

    /// <summary>Observation: looked at.</summary>
    Look,

    /// <summary>Observation: listened to.</summary>
    Listen,
}

/// <summary>One measured value or observation.</summary>
/// <param name="At">Where, as written.</param>
/// <param name="Node">Node index, or -1 for an observation on a part.</param>
/// <param name="Kind">What was measured or done.</param>
/// <param name="Value">Volts or ohms, +infinity for over-range; NaN for an observation.</param>
/// <param name="Word">An observation's word; null for a measured value.</param>
/// <param name="Part">Name of the part an observation concerns, or null.</param>
/// <param name="Ref">Against what, as written; null for chassis.</param>
/// <param name="RefNode">Node index of the reference; 0 for chassis.</param>
/// <param name="Condition">State in which it was taken.</param>
/// <param name="Note">Free text.</param>
/// <param name="Where">Its line.</param>
public sealed record Reading(
    string At,
    int Node,
    ReadingKind Kind,
    double Value,
    string? Word,
    string? Part,
    string? Ref,
    int RefNode,
    Condition Condition,
    string Note,
    SourceSpan Where
)
{
    /// <summary>True for a reading with a number: <c>dc</c>, <c>ac</c>, <c>ohms</c>.</summary>
    public bool IsMeasured => Kind <= ReadingKind.Ohms;
}
