namespace NetAudit.Fuzz.Loop;

/// <summary>A text that broke a promise, and how.</summary>
public sealed record Finding(string Text, string What, bool IsSlow = false);
