namespace NetAudit.Fuzz.Targets;

/// <summary>A parser answered, but not as it promises.</summary>
public sealed class ContractException(string message) : Exception(message);
