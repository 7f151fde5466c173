namespace NetAudit.Circuits.Parts;

/// <summary>Part names from instance names.</summary>
internal static class PartNames
{
    /// <summary>The name without the X of its last component: <c>XCH1.XV3</c> gives <c>XCH1.V3</c>.</summary>
    public static string WithoutX(string instance)
    {
        var start = instance.LastIndexOf('.') + 1;
        return instance.Length > start + 1 && instance[start] is 'X' or 'x'
            ? instance.Remove(start, 1)
            : instance;
    }

    /// <summary>
    /// Splits a section's instance name: <c>XV1A</c> and <c>XV1_1</c> give <c>V1</c> and section A. The section is empty when there is
    /// no such ending.
    /// </summary>
    public static (string Stem, string Section) SplitSection(string instance)
    {
        var name = WithoutX(instance);
        if (name.Length < 3)
        {
            return (name, "");
        }
        var section = name[^1] switch
        {
            'A' or 'a' => "A",
            'B' or 'b' => "B",
            '1' when name[^2] == '_' => "A",
            '2' when name[^2] == '_' => "B",
            _ => "",
        };
        return section.Length == 0 ? (name, "") : (name[..^1].TrimEnd('_'), section);
    }
}
