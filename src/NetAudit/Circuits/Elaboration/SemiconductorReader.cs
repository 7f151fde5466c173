using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Reads D, Q, J and M cards.</summary>
internal sealed class SemiconductorReader(ElaborationState state, ModelReader models)
{
    private static readonly string[] Passed =
    [
        "off",
        "on",
        "ic",
        "temp",
        "dtemp",
        "pj",
        "lm",
        "wm",
        "lp",
        "wp",
        "nrd",
        "nrs",
        "ad",
        "as",
        "pd",
        "ps",
    ];

    /// <summary>D name anode cathode model [area] [off] [m=…].</summary>
    public void ReadDiode(ElementCard card)
    {
        if (FindModel(card, 2, 2, "anode, cathode", "d") is not { } found)
        {
            return;
        }
        var ends = Terminals(card, 2, "a", "k");
        if (Area(card, found.Index) is { } area)
        {
            state.Add(
                new Diode(card.FullName, ends, found.Model, area, card.Card.Where)
                {
                    Device = card.Scope.Device?.Name,
                }
            );
        }
    }

    /// <summary>Q name collector base emitter [substrate] model [area] [off] [m=…].</summary>
    public void ReadBipolar(ElementCard card)
    {
        if (FindModel(card, 3, 4, "collector, base, emitter", "npn", "pnp") is not { } found)
        {
            return;
        }
        var ends = Terminals(card, found.Index, "c", "b", "e", "s");
        if (Area(card, found.Index) is { } area)
        {
            state.Add(
                new BipolarTransistor(card.FullName, ends, found.Model, area, card.Card.Where)
                {
                    Device = card.Scope.Device?.Name,
                }
            );
        }
    }

    /// <summary>J name drain gate source model [area] [off] [m=…].</summary>
    public void ReadJunctionFet(ElementCard card)
    {
        if (FindModel(card, 3, 3, "drain, gate, source", "njf", "pjf") is not { } found)
        {
            return;
        }
        var ends = Terminals(card, 3, "d", "g", "s");
        if (Area(card, found.Index) is { } area)
        {
            state.Add(
                new JunctionFet(card.FullName, ends, found.Model, area, card.Card.Where)
                {
                    Device = card.Scope.Device?.Name,
                }
            );
        }
    }

    /// <summary>M name drain gate source bulk model [L=…] [W=…] [m=…].</summary>
    public void ReadMosFet(ElementCard card)
    {
        if (FindModel(card, 4, 4, "drain, gate, source, bulk", "nmos", "pmos") is not { } found)
        {
            return;
        }
        var ends = Terminals(card, 4, "d", "g", "s", "b");
        // 100 um: SPICE3 options DEFL and DEFW.
        var length = card.Number("l", found.Model.Get("l", 100e-6));
        var width = card.Number("w", found.Model.Get("w", 100e-6));
        var multiplicity = card.Number("m", 1);
        card.CheckRest(5, Passed);
        if (length is not { } l || width is not { } w || multiplicity is not { } m)
        {
            return;
        }
        if (!(l > 0 && w > 0 && m > 0))
        {
            card.Complain(card.Card.Fields[0], $"{card.Card.Name} needs L, W and m above zero");
            return;
        }
        state.Add(
            new MosFet(card.FullName, ends, found.Model, l, w, card.Card.Where)
            {
                Device = card.Scope.Device?.Name,
                Multiplicity = m,
            }
        );
    }

    private static System.Collections.Immutable.ImmutableArray<Terminal> Terminals(
        ElementCard card,
        int count,
        params string[] names
    ) => [.. Enumerable.Range(0, count).Select(i => card.Terminal(card.Positional[i], names[i]))];

    /// <summary>
    /// The model and its place among the fields: the first field with a known model's name from the least place on. When it stands too
    /// early a terminal is missing; that is said, rather than that the field in its place is no model.
    /// </summary>
    private (DeviceModel Model, int Index)? FindModel(
        ElementCard card,
        int least,
        int most,
        string terminals,
        params ReadOnlySpan<string> kinds
    )
    {
        var fields = card.Positional;
        for (var i = least; i <= most && i < fields.Length; i++)
        {
            if (IsModel(card, fields[i]))
            {
                return models.Read(card, fields[i], kinds) is { } model ? (model, i) : null;
            }
        }
        for (var i = 0; i < least && i < fields.Length; i++)
        {
            if (IsModel(card, fields[i]) && i == fields.Length - 1)
            {
                card.Complain(
                    fields[i],
                    $"{card.Card.Name} has {i} nodes before its model; it needs {least} ({terminals})"
                );
                return null;
            }
        }
        if (!card.Has(least + 1, $"{least} nodes ({terminals}) and a model"))
        {
            return null;
        }
        for (var i = most + 1; i < fields.Length; i++)
        {
            if (IsModel(card, fields[i]))
            {
                card.Complain(
                    fields[i],
                    $"{card.Card.Name} has {i} nodes before its model; it takes {most} ({terminals})"
                );
                return null;
            }
        }
        // Reports that the model is not known.
        _ = models.Read(card, fields[least], kinds);
        return null;
    }

    private static bool IsModel(ElementCard card, Field field) =>
        field.Kind == FieldKind.Word && card.Scope.FindModel(field.Word) is not null;

    private static double? Area(ElementCard card, int modelIndex)
    {
        var given = card.Assigned("area");
        var positional =
            card.Positional.Length > modelIndex + 1 && !IsWord(card.Positional[modelIndex + 1])
                ? card.Positional[modelIndex + 1]
                : null;
        var area = (given ?? positional) is { } field ? card.Number(field) : 1;
        var multiplicity = card.Number("m", 1);
        card.CheckRest(positional is null ? modelIndex + 1 : modelIndex + 2, Passed);
        if (area is not { } a || multiplicity is not { } m)
        {
            return null;
        }
        if (a * m > 0)
        {
            return a * m;
        }
        card.Complain(given ?? positional ?? card.Card.Fields[0], "an area lies above zero");
        return null;
    }

    private static bool IsWord(Field field) => field.Is("off") || field.Is("on");
}
