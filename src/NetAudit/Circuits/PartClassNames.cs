using NetAudit.Common;

namespace NetAudit.Circuits;

/// <summary>Classes of parts in words. Thread-safe.</summary>
public static class PartClassNames
{
    /// <summary><c>bipolar transistor</c></summary>
    public static string Describe(this PartClass partClass) =>
        partClass switch
        {
            PartClass.JunctionFet => "junction FET",
            PartClass.MosFet => "MOSFET",
            _ => EnumName.Of(partClass, ' '),
        };
}
