namespace NetAudit.Common;

/// <summary>Names made of an enumeration's own, as files and tables have them.</summary>
internal static class EnumName
{
    /// <summary><c>TakenIn</c> as <c>taken-in</c>.</summary>
    public static string Of<T>(T value, char joint = '-')
        where T : struct, Enum =>
        string.Concat(
            value
                .ToString()
                .Select(
                    (c, i) =>
                        char.IsUpper(c)
                            ? (i > 0 ? $"{joint}" : "") + char.ToLowerInvariant(c)
                            : c.ToString()
                )
        );

    /// <summary>The value of that name, or null.</summary>
    public static T? Find<T>(string name, char joint = '-')
        where T : struct, Enum
    {
        foreach (var value in Enum.GetValues<T>())
        {
            if (Of(value, joint) == name)
            {
                return value;
            }
        }
        return null;
    }
}
