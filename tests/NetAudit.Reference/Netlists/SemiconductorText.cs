using NetAudit.Circuits;

namespace NetAudit.Reference.Netlists;

/// <summary>Cards of D, Q, J and M, each with a model card of its own so that one device can be changed alone.</summary>
internal static class SemiconductorText
{
    public static IEnumerable<string> Cards(int index, Element element, string head, EditSet edits)
    {
        var model = $"model{index}";
        var strength = edits.Strength(index);
        switch (element)
        {
            case Diode d:
                yield return $"{head} {model} area={FlatNetlist.Text(d.Area)}";
                yield return Model(
                    model,
                    d.Model,
                    ("is", 1e-14, strength),
                    ("bv", double.PositiveInfinity, edits.Breakdown(index))
                );
                break;
            case BipolarTransistor q:
                yield return $"{head} {model} area={FlatNetlist.Text(q.Area)}";
                yield return Model(
                    model,
                    q.Model,
                    ("is", 1e-16, strength),
                    ("bf", 100, edits.CurrentGain(index))
                );
                break;
            case JunctionFet j:
                yield return $"{head} {model} area={FlatNetlist.Text(j.Area)}";
                yield return Model(model, j.Model, ("beta", 1e-4, strength));
                break;
            case MosFet m:
                yield return $"{head} {model} L={FlatNetlist.Text(m.Length)} W={FlatNetlist.Text(m.Width)} M={FlatNetlist.Text(m.Multiplicity)}";
                yield return Model(model, m.Model, strength == 1 ? [] : [("kp", 2e-5, strength)]);
                break;
            default:
                throw new NotSupportedException(element.GetType().Name);
        }
    }

    private static string Model(
        string name,
        DeviceModel model,
        params ReadOnlySpan<(string Parameter, double Default, double Factor)> scaled
    )
    {
        var values = new SortedDictionary<string, double>(
            model.Parameters.ToDictionary(p => p.Key, p => p.Value),
            StringComparer.Ordinal
        );
        foreach (var (parameter, otherwise, factor) in scaled)
        {
            if (factor != 1)
            {
                values[parameter] = model.Get(parameter, otherwise) * factor;
            }
        }
        var text = string.Join(' ', values.Select(p => $"{p.Key}={FlatNetlist.Text(p.Value)}"));
        return $".model {name} {model.Kind} ({text})";
    }
}
