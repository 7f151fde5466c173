namespace NetAudit.Reference.Netlists;

/// <summary>Edits sorted by what they change.</summary>
internal sealed class EditSet
{
    private readonly Dictionary<int, double> strengths = [];
    private readonly Dictionary<int, double> gains = [];
    private readonly Dictionary<int, double> offsets = [];
    private readonly Dictionary<int, double> breakdowns = [];

    public Dictionary<int, double> Values { get; } = [];
    public SortedDictionary<int, double> Joints { get; } = [];
    public List<AddBridge> Bridges { get; } = [];
    public List<AddCurrent> Currents { get; } = [];

    public double Strength(int element) => strengths.GetValueOrDefault(element, 1);

    public double CurrentGain(int element) => gains.GetValueOrDefault(element, 1);

    public double Breakdown(int element) => breakdowns.GetValueOrDefault(element, 1);

    public double Offset(int pin) => offsets.GetValueOrDefault(pin, 0);

    /// <summary>Later values replace earlier ones; strengths multiply and offsets add, so that wear comes on top of spread.</summary>
    public static EditSet From(IEnumerable<CircuitEdit> changes)
    {
        var set = new EditSet();
        foreach (var change in changes)
        {
            switch (change)
            {
                case SetValue c:
                    set.Values[c.Element] = c.Value;
                    break;
                case SetJoint c:
                    set.Joints[c.Pin] = c.Ohms;
                    break;
                case AddBridge c:
                    set.Bridges.Add(c);
                    break;
                case AddCurrent c:
                    set.Currents.Add(c);
                    break;
                case SetStrength c:
                    set.strengths[c.Element] = set.Strength(c.Element) * c.Factor;
                    break;
                case SetCurrentGain c:
                    set.gains[c.Element] = set.CurrentGain(c.Element) * c.Factor;
                    break;
                case SetBreakdown c:
                    set.breakdowns[c.Element] = c.Factor;
                    break;
                case SetOffset c:
                    set.offsets[c.Pin] = set.Offset(c.Pin) + c.Volts;
                    break;
            }
        }
        return set;
    }
}
