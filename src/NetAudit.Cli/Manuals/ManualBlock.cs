namespace NetAudit.Cli.Manuals;

/// <summary>A piece of a manual page.</summary>
internal abstract record ManualBlock;

/// <summary>The heading of a section.</summary>
internal sealed record ManualSection(string Title) : ManualBlock;

/// <summary>The heading of a part of a section.</summary>
internal sealed record ManualPart(string Title) : ManualBlock;

/// <summary>Text to be broken into lines.</summary>
internal sealed record ManualParagraph(string Text) : ManualBlock;

/// <summary>Something that can be typed or met, and what it means.</summary>
internal sealed record ManualEntry(string Term, string Meaning) : ManualBlock;

/// <summary>A line that stands as it is.</summary>
internal sealed record ManualLine(string Text) : ManualBlock;
