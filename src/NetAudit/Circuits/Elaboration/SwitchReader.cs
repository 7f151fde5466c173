using NetAudit.Netlists.Expressions;

namespace NetAudit.Circuits.Elaboration;

/// <summary>
/// Reads S and W cards, switches that a voltage or current closes. At an operating point a switch is a resistance that depends on its
/// control: a law. Hysteresis only matters in time; the state at rest is that of the rising threshold, as ngspice 39 takes it for <c>off</c>.
/// </summary>
internal sealed class SwitchReader(ElaborationState state, ModelReader models)
{
    /// <summary>S name n+ n- nc+ nc- model, W name n+ n- source model.</summary>
    public void Read(ElementCard card)
    {
        var byVoltage = char.ToUpperInvariant(card.Card.Name[0]) == 'S';
        var modelIndex = byVoltage ? 4 : 3;
        if (
            !card.Has(
                modelIndex + 1,
                byVoltage
                    ? "two nodes, two control nodes and a model"
                    : "two nodes, a controlling voltage source and a model"
            )
            || models.Read(card, card.Positional[modelIndex], byVoltage ? "sw" : "csw")
                is not { } model
        )
        {
            return;
        }
        card.CheckRest(modelIndex + 1, "on", "off");
        var ends = card.TwoTerminals();
        var place = new ValueText(
            card.Card.Text,
            card.Card.Fields[0].Start,
            card.Card.Fields[0].End
        );
        var where = place.Where;
        var controls = new LawControls();
        Expression control = byVoltage
            ? new ControlVoltage(
                controls.Voltage(
                    card.NodeName(card.Positional[2]),
                    card.NodeName(card.Positional[3])
                ),
                where
            )
            : new ControlCurrent(controls.Current(card.Positional[2].Word), where);
        var across = new ControlVoltage(
            controls.Voltage(card.NodeName(card.Positional[0]), card.NodeName(card.Positional[1])),
            where
        );
        var threshold = byVoltage
            ? model.Get("vt", model.Get("von", 0)) + model.Get("vh", 0)
            : model.Get("it", model.Get("ion", 0)) + model.Get("ih", 0);
        var law = new Binary(
            BinaryOperator.Divide,
            across,
            new Conditional(
                new Binary(BinaryOperator.Greater, control, new Number(threshold, where), where),
                new Number(model.Get("ron", 1), where),
                // 1/GMIN: SPICE3 user manual, section 3.1.6.
                new Number(model.Get("roff", 1e12), where),
                where
            ),
            where
        );
        var index = state.Add(
            new BehaviouralSource(
                card.FullName,
                OutputKind.Current,
                [.. ends],
                [],
                [],
                law,
                card.Card.Where
            )
            {
                Device = card.Scope.Device?.Name,
            }
        );
        BehaviouralReader.ConnectLater(state, card, index, controls, place);
    }
}
