using NetAudit.Common;

namespace NetAudit.Jobs;

/// <summary>Names of the fields, as columns and JSON keys have them.</summary>
public static class JobFields
{
    /// <summary>Longest text a field takes, in characters.</summary>
    public const int LongestText = 20_000;

    /// <summary>Every field.</summary>
    public static IReadOnlyList<JobField> All { get; } = Enum.GetValues<JobField>();

    /// <summary>The field's name: <c>cause_part</c>.</summary>
    public static string Name(this JobField field) => EnumName.Of(field, '_');
}

/// <summary>Names of states, phases and kinds of step, as files have them.</summary>
public static class JobWords
{
    /// <summary>The state's name: <c>on-bench</c>.</summary>
    public static string Name(this JobState state) => EnumName.Of(state);

    /// <summary>The phase's name.</summary>
    public static string Name(this ReadingPhase phase) => EnumName.Of(phase);

    /// <summary>The step's name.</summary>
    public static string Name(this StepKind kind) => EnumName.Of(kind);

    /// <summary>The state in words: <c>on the bench</c>.</summary>
    public static string Describe(this JobState state) =>
        state switch
        {
            JobState.TakenIn => "taken in",
            JobState.OnBench => "on the bench",
            JobState.Waiting => "waiting",
            JobState.Ready => "ready",
            _ => "closed",
        };
}
