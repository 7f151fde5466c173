using NetAudit.Common;

namespace NetAudit.Circuits;

/// <summary>A definition that nothing uses.</summary>
/// <param name="Kind"><c>subcircuit</c> or <c>model</c>.</param>
/// <param name="Name">Its name as the card spells it.</param>
/// <param name="Where">Its card.</param>
public sealed record UnusedDefinition(string Kind, string Name, SourceSpan Where);

/// <summary>A node's name in another case.</summary>
/// <param name="Node">Node index.</param>
/// <param name="Spelling">The name as written there.</param>
/// <param name="Where">The card.</param>
public sealed record OtherSpelling(int Node, string Spelling, SourceSpan Where);
