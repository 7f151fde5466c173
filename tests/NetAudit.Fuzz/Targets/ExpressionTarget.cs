namespace NetAudit.Fuzz.Targets;

/// <summary>An expression, as the value of a parameter and as the law of a source.</summary>
internal static class ExpressionTarget
{
    public static void Check(string text)
    {
        // An expression ends with its line.
        var line = text.ReplaceLineEndings(" ");
        NetlistTarget.Check($"t\nV1 a 0 2\nR1 a b 1k\nR2 b 0 1k\nR3 c 0 {{{line}}}\nV2 c 0 1\n");
        NetlistTarget.Check($"t\nV1 a 0 2\nR1 a b 1k\nR2 b 0 1k\nB1 c 0 V={line}\nR3 c 0 1k\n");
    }
}
