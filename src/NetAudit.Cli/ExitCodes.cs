namespace NetAudit.Cli;

/// <summary>How a command ends; scripts rely on these.</summary>
internal static class ExitCodes
{
    /// <summary>Done, and nothing is wrong.</summary>
    public const int NothingWrong = 0;

    /// <summary>Done; a deviation or suspects were found.</summary>
    public const int Found = 1;

    /// <summary>The input or the command line cannot be used.</summary>
    public const int BadInput = 2;

    /// <summary>The program itself failed.</summary>
    public const int InternalError = 3;

    /// <summary>Stopped by Ctrl-C: 128 and the signal's number, as shells count.</summary>
    public const int Cancelled = 130;

    /// <summary>What each says, in words.</summary>
    public static readonly (int Code, string Meaning)[] Meanings =
    [
        (NothingWrong, "nothing wrong"),
        (Found, "a deviation or suspects found"),
        (BadInput, "the input or the command line cannot be used"),
        (InternalError, "the program itself failed"),
        (Cancelled, "stopped by Ctrl-C"),
    ];
}
