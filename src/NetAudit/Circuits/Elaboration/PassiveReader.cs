using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Reads R, C, L and K cards.</summary>
internal sealed class PassiveReader(ElaborationState state, ModelReader models)
{
    // Below it the solver would lose the digits of what lies beside it.
    private const double SmallestOhms = 1e-6;

    private const double NominalTemperature = 27.0;

    /// <summary>R name n1 n2 value|model [tc=…] [m=…], also <c>R=</c> and a model with <c>L=</c> and <c>W=</c>.</summary>
    public void ReadResistor(ElementCard card)
    {
        if (!card.Has(2, "two nodes and a value"))
        {
            return;
        }
        var ends = card.TwoTerminals();
        var (field, model) = ValueAndModel(card, "r", ["r", "resistance", "value"]);
        var ohms = field is not null
            ? card.PartValue(field, PartKind.Resistor)
            : SheetResistance(card, model);
        var first = Coefficient(card, model, "tc1", 0);
        var second = Coefficient(card, model, "tc2", 1);
        var multiplier = card.Number("m", 1);
        var scale = card.Number("scale", 1);
        card.CheckRest(
            5,
            "tc",
            "l",
            "w",
            "temp",
            "dtemp",
            "ac",
            "noisy",
            "noise",
            model?.Name ?? ""
        );
        if (
            ohms is not { } nominal
            || first is not { } tc1
            || second is not { } tc2
            || multiplier is not { } m
            || scale is not { } factor
        )
        {
            return;
        }
        var warmth =
            state.Temperature - (model?.Get("tnom", NominalTemperature) ?? NominalTemperature);
        var value = nominal * factor / m * (1 + tc1 * warmth + tc2 * warmth * warmth);
        if (value == 0 || !double.IsFinite(value))
        {
            card.Complain(
                field ?? card.Card.Fields[0],
                $"{card.Card.Name} cannot have a resistance of {(value == 0 ? "zero" : "infinity")}",
                value == 0 ? "give a small value such as 1m, or join the two nodes" : null
            );
            return;
        }
        if (Math.Abs(value) < SmallestOhms)
        {
            card.Warn(
                field ?? card.Card.Fields[0],
                $"{card.Card.Name} is solved as 1 uΩ, the smallest resistance there is here",
                "check the suffix, or join the two nodes"
            );
        }
        state.Add(
            new Resistor(card.FullName, [.. ends], value, card.Card.Where)
            {
                Device = card.Scope.Device?.Name,
            }
        );
    }

    /// <summary>C name n1 n2 value|model [ic=…] [m=…].</summary>
    public void ReadCapacitor(ElementCard card)
    {
        if (!card.Has(2, "two nodes and a value"))
        {
            return;
        }
        var ends = card.TwoTerminals();
        var (field, model) = ValueAndModel(card, "c", ["c", "capacitance", "value"]);
        var farads = field is not null
            ? card.PartValue(field, PartKind.Capacitor)
            : ModelValue(card, model, "cap", "cj");
        var multiplier = card.Number("m", 1);
        card.CheckRest(4, Passed);
        if (farads is not { } value || multiplier is not { } m)
        {
            return;
        }
        if (!(value * m >= 0))
        {
            card.Complain(
                field ?? card.Card.Fields[0],
                $"{card.Card.Name} cannot have a negative capacitance"
            );
            return;
        }
        state.Add(
            new Capacitor(card.FullName, [.. ends], value * m, card.Card.Where)
            {
                Device = card.Scope.Device?.Name,
            }
        );
    }

    /// <summary>L name n1 n2 value [ic=…] [m=…].</summary>
    public void ReadInductor(ElementCard card)
    {
        if (!card.Has(2, "two nodes and a value"))
        {
            return;
        }
        var ends = card.TwoTerminals();
        var (field, model) = ValueAndModel(card, "l", ["l", "inductance", "value"]);
        var henries = field is not null
            ? card.PartValue(field, PartKind.Inductor)
            : ModelValue(card, model, "ind", "l");
        var multiplier = card.Number("m", 1);
        card.CheckRest(4, Passed);
        if (henries is not { } value || multiplier is not { } m)
        {
            return;
        }
        if (!(value / m > 0))
        {
            card.Complain(
                field ?? card.Card.Fields[0],
                $"{card.Card.Name} needs an inductance above zero"
            );
            return;
        }
        state.Add(
            new Inductor(card.FullName, [.. ends], value / m, card.Card.Where)
            {
                Device = card.Scope.Device?.Name,
            }
        );
    }

    /// <summary>K name L1 L2 … coefficient. More than two windings are coupled pair by pair.</summary>
    public void ReadCoupling(ElementCard card)
    {
        if (!card.Has(3, "two inductors and a coefficient"))
        {
            return;
        }
        var last = card.Positional[^1];
        if (card.Number(last) is not { } coefficient)
        {
            return;
        }
        if (!(coefficient > 0 && coefficient <= 1))
        {
            card.Complain(last, "a coupling coefficient lies above 0 and not above 1");
            return;
        }
        card.CheckRest(int.MaxValue);
        var windings = card.Positional[..^1];
        for (var i = 0; i < windings.Length; i++)
        {
            for (var j = i + 1; j < windings.Length && state.CheckSize(card.Card); j++)
            {
                AddPair(card, windings[i], windings[j], i, j, windings.Length, coefficient);
            }
        }
    }

    /// <summary>Couples two windings. Their indices are filled in when all elements are known; the coupling keeps its place in order.</summary>
    private void AddPair(
        ElementCard card,
        Field first,
        Field second,
        int i,
        int j,
        int count,
        double coefficient
    )
    {
        var name = count == 2 ? card.FullName : $"{card.FullName}.{i + 1}.{j + 1}";
        var index = state.Add(new Coupling(name, -1, -1, coefficient, card.Card.Where));
        state.Deferred.Add(() =>
        {
            var one = card.Element(first, "inductor", element => element is Inductor);
            var other = card.Element(second, "inductor", element => element is Inductor);
            if (one == other && one >= 0)
            {
                card.Complain(second, "an inductor cannot be coupled to itself");
            }
            state.Elements[index] = (Coupling)state.Elements[index] with
            {
                First = one,
                Second = other,
            };
        });
    }

    private static readonly string[] Passed =
    [
        "ic",
        "tc",
        "tc1",
        "tc2",
        "temp",
        "dtemp",
        "rser",
        "l",
        "w",
        "scale",
    ];

    /// <summary>The field with the value, and the model, in either order; an assignment such as <c>R=</c> counts as the value.</summary>
    private (Field? Value, DeviceModel? Model) ValueAndModel(
        ElementCard card,
        string kind,
        ReadOnlySpan<string> names
    )
    {
        Field? value = null;
        DeviceModel? model = null;
        foreach (var name in names)
        {
            value ??= card.Assigned(name);
        }
        foreach (
            var field in card.Positional.AsSpan(2).Length > 2
                ? card.Positional.AsSpan(2, 2)
                : card.Positional.AsSpan(2)
        )
        {
            if (
                model is null
                && field.Kind == FieldKind.Word
                && card.Scope.FindModel(field.Word) is not null
            )
            {
                model = models.Read(card, field, kind);
            }
            else
            {
                value ??= field;
            }
        }
        if (value is null && model is null)
        {
            card.Complain(card.Card.Fields[0], $"{card.Card.Name} has no value");
        }
        return (value, model);
    }

    /// <summary>tc1 or tc2 of the card (<c>tc=a,b</c>, <c>tc1=</c>), or of its model.</summary>
    private static double? Coefficient(
        ElementCard card,
        DeviceModel? model,
        string name,
        int position
    )
    {
        if (card.Assigned(name) is { } given)
        {
            return card.Number(given);
        }
        if (card.Assigned("tc") is { } list)
        {
            // tc=a,b: the comma separates, so b is a field of its own, right behind.
            var field =
                position == 0 ? list : card.Positional.FirstOrDefault(f => f.Start > list.End);
            return field is null ? 0 : card.Number(field);
        }
        return model?.Get(name, 0) ?? 0;
    }

    /// <summary>Resistance from the sheet resistance and size (SPICE3 user manual, section 3.1.3; width 10 µm by default as in ngspice 39), or a model's plain <c>r</c>.</summary>
    private static double? SheetResistance(ElementCard card, DeviceModel? model)
    {
        if (model is null)
        {
            return null;
        }
        var length = card.Number("l", model.Get("l", 0));
        var width = card.Number("w", model.Get("w", model.Get("defw", 10e-6)));
        if (length is > 0 && width is > 0 && model.Parameters.ContainsKey("rsh"))
        {
            var narrow = model.Get("narrow", 0);
            return model.Get("rsh", 0) * (length - narrow) / (width - narrow);
        }
        return ModelValue(card, model, "r", "res");
    }

    private static double? ModelValue(
        ElementCard card,
        DeviceModel? model,
        string name,
        string otherName
    )
    {
        if (model is null)
        {
            return null;
        }
        if (model.Parameters.TryGetValue(name, out var value))
        {
            return value;
        }
        if (model.Parameters.TryGetValue(otherName, out value))
        {
            return value;
        }
        card.Complain(
            card.Card.Fields[0],
            $"{card.Card.Name} has no value, and its model {model.Name} gives none"
        );
        return null;
    }
}
