namespace NetAudit.Netlists;

/// <summary>A <c>.subckt</c> with its body.</summary>
internal sealed class SubcircuitDefinition : NetlistItem
{
    /// <param name="header">The <c>.subckt</c> card.</param>
    /// <param name="body">What stands between it and its <c>.ends</c>.</param>
    public SubcircuitDefinition(Card header, NetlistItem[] body)
    {
        Header = header;
        Body = body;
        Name = header.Fields.Length > 1 ? header.Fields[1].Word : "";
        var count = 0;
        var fields = header.Fields.AsSpan(Math.Min(2, header.Fields.Length)..);
        while (
            count < fields.Length && !fields[count].IsAssignment && !IsParameterMark(fields[count])
        )
        {
            count++;
        }
        Ports = fields[..count].ToArray();
        Defaults = fields[count..].ToArray();
        IsDevice = !Any(body, 'x') && Any(body, 'b', 'e', 'g', 'f', 'h');
    }

    /// <summary>The <c>.subckt</c> card.</summary>
    public Card Header { get; }

    /// <summary>Its name as the card spells it.</summary>
    public string Name { get; }

    /// <summary>Its ports.</summary>
    public Field[] Ports { get; }

    /// <summary>Its parameters with their default values, and the mark <c>PARAMS:</c> where the card has one.</summary>
    public Field[] Defaults { get; }

    /// <summary>What stands between its first and last card.</summary>
    public NetlistItem[] Body { get; }

    /// <summary>True when it models one physical device: controlled sources, and no subcircuits of its own.</summary>
    public bool IsDevice { get; }

    /// <summary>True for the word <c>PARAMS:</c>, which starts the parameters in some dialects.</summary>
    public static bool IsParameterMark(Field field) =>
        field.Is("params:") || field.Is("params") || field.Is("param:");

    private static bool Any(NetlistItem[] items, params ReadOnlySpan<char> letters)
    {
        foreach (var item in items)
        {
            var found = item switch
            {
                Card card => card.Name.Length > 0
                    && letters.Contains(char.ToLowerInvariant(card.Name[0])),
                Choice choice => AnyBranch(choice, letters),
                _ => false,
            };
            if (found)
            {
                return true;
            }
        }
        return false;
    }

    private static bool AnyBranch(Choice choice, ReadOnlySpan<char> letters)
    {
        foreach (var (_, items) in choice.Branches)
        {
            if (Any(items, letters))
            {
                return true;
            }
        }
        return false;
    }
}

/// <summary><c>.if</c> with its <c>.elseif</c> and <c>.else</c>: the first branch whose condition is not zero counts.</summary>
/// <param name="branches">Each branch's card, which holds the condition, and its items.</param>
internal sealed class Choice((Card Condition, NetlistItem[] Items)[] branches) : NetlistItem
{
    /// <summary>Each branch's card, which holds the condition (none for <c>.else</c>), and its items.</summary>
    public (Card Condition, NetlistItem[] Items)[] Branches { get; } = branches;
}

/// <summary>A section of a library file: <c>.lib NAME</c> to <c>.endl</c>.</summary>
/// <param name="name">Its name.</param>
/// <param name="items">What is in it.</param>
internal sealed class LibrarySection(string name, NetlistItem[] items) : NetlistItem
{
    /// <summary>Its name.</summary>
    public string Name { get; } = name;

    /// <summary>What is in it.</summary>
    public NetlistItem[] Items { get; } = items;
}
