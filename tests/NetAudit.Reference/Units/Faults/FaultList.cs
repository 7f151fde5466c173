using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Reference.Units.Faults;

/// <summary>
/// The kinds of fault that units are given. A list of its own, made without looking at the diagnosis: part first, every part equally
/// likely, then a kind by weight. Weights and ranges are common practice, no source.
/// </summary>
public sealed class FaultList
{
    private readonly ImmutableArray<ImmutableArray<FaultKind>> kindsByPart;

    private FaultList(ImmutableArray<ImmutableArray<FaultKind>> kindsByPart) =>
        this.kindsByPart = kindsByPart;

    /// <summary>Every kind of fault of an amplifier.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="withSignalFaults">Also those that only a signal shows.</param>
    public static FaultList Of(Amplifier amplifier, bool withSignalFaults = false) =>
        new([
            .. amplifier
                .Parts.Select(part =>
                    Kinds(amplifier, part)
                        .Concat(withSignalFaults ? SignalFaults.Of(amplifier.Circuit, part) : [])
                        .ToImmutableArray()
                )
                .Where(kinds => !kinds.IsEmpty),
        ]);

    /// <summary>A fault, drawn.</summary>
    public UnitFault Draw(Random random)
    {
        var kinds = random.Of(kindsByPart);
        var at = random.NextDouble() * kinds.Sum(kind => kind.Weight);
        foreach (var kind in kinds)
        {
            at -= kind.Weight;
            if (at <= 0)
            {
                return kind.Draw(random);
            }
        }
        return kinds[^1].Draw(random);
    }

    /// <summary>One fault of every kind, drawn in order.</summary>
    public IEnumerable<UnitFault> DrawEach(Random random) =>
        kindsByPart.SelectMany(kinds => kinds).Select(kind => kind.Draw(random));

    private static IEnumerable<FaultKind> Kinds(Amplifier amplifier, Part part) =>
        part.Class switch
        {
            PartClass.Resistor or PartClass.Potentiometer => PassiveFaults
                .OfResistor(amplifier.Circuit, part)
                .Concat(JointFaults.Of(part)),
            PartClass.Winding => PassiveFaults.OfWinding(amplifier.Circuit, part),
            PartClass.Capacitor or PartClass.Electrolytic => PassiveFaults.OfCapacitor(
                amplifier.Circuit,
                part
            ),
            PartClass.Tube => TubeFaults
                .Of(amplifier.Circuit, part)
                .Concat(JointFaults.Of(part))
                .Concat(BridgeFaults.Of(amplifier.Circuit, part)),
            PartClass.BipolarTransistor or PartClass.JunctionFet or PartClass.MosFet =>
                SemiconductorFaults
                    .OfTransistor(amplifier.Circuit, part)
                    .Concat(JointFaults.Of(part)),
            PartClass.Diode => SemiconductorFaults
                .OfDiode(amplifier.Circuit, part)
                .Concat(JointFaults.Of(part)),
            PartClass.Supply => SupplyFaults.OfSource(amplifier.Circuit, part),
            PartClass.Fuse => SupplyFaults.OfFuse(part),
            PartClass.Contact => SupplyFaults.OfContact(part),
            _ => [],
        };
}
