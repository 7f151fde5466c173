using System.Globalization;
using System.Text;

namespace NetAudit.Cli.Terminals;

/// <summary>
/// Text from files as it may be shown: a name with control or direction characters in it would move the cursor, change colours or turn
/// the line around on a terminal. Each such character shows as U+FFFD.
/// </summary>
internal static class Visible
{
    /// <summary>The text without them; line ends and tabs stay.</summary>
    public static string Text(string text)
    {
        if (!text.AsSpan().ContainsAnyExceptInRange(' ', '~') || !text.Any(IsHidden))
        {
            return text;
        }
        var visible = new StringBuilder(text.Length);
        foreach (var c in text)
        {
            visible.Append(IsHidden(c) ? '\ufffd' : c);
        }
        return visible.ToString();
    }

    private static bool IsHidden(char c) =>
        c is not ('\n' or '\t')
        && CharUnicodeInfo.GetUnicodeCategory(c)
            is UnicodeCategory.Control
                or UnicodeCategory.Format
                or UnicodeCategory.LineSeparator
                or UnicodeCategory.ParagraphSeparator;
}
