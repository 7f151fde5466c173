using NetAudit.Common;

namespace NetAudit.Circuits.Sheets;

/// <summary>What a name in a sheet has to be in the circuit.</summary>
internal enum NameKind
{
    Element,
    Source,
    Resistor,
    Capacitor,
    Device,
    Part,
    Node,
    Parameter,
    Setting,
}

/// <summary>A name in a sheet that has to exist in the circuit, checked once the circuit is known.</summary>
internal readonly record struct NameReference(NameKind Kind, string Name, SourceSpan Where);
