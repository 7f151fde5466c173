using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Audits.Findings;

/// <summary>Which ends of an element DC can flow between, seen in different ways.</summary>
internal static class Conduction
{
    /// <summary>Everything but capacitors and ideal current sources; a MOSFET's gate is apart.</summary>
    public static IEnumerable<(int A, int B)> Any(Element element) =>
        element switch
        {
            Capacitor or CurrentSource or Coupling => [],
            MosFet { Terminals: var ends } =>
            [
                (ends[0].Node, ends[2].Node),
                (ends[3].Node, ends[2].Node),
            ],
            { Terminals: var ends } => Chain(ends),
        };

    /// <summary>
    /// As <see cref="Any"/>, but control electrodes carry nothing: a grid is held by what is outside its device. Current sources count:
    /// they carry a cathode's or an emitter's current.
    /// </summary>
    /// <param name="element">The element.</param>
    /// <param name="isGrid">Whether a pin is a tube's control grid.</param>
    public static IEnumerable<(int A, int B)> WithoutControls(
        Element element,
        Func<int, bool> isGrid
    ) =>
        element switch
        {
            Capacitor or Coupling => [],
            BipolarTransistor or JunctionFet or MosFet =>
            [
                (element.Terminals[0].Node, element.Terminals[2].Node),
            ],
            { Terminals: var ends } when ends.Any(end => isGrid(end.Pin)) => [],
            { Terminals: var ends } => Chain(ends),
        };

    /// <summary>What fixes a voltage whatever the current: sources of voltage, and inductors.</summary>
    public static IEnumerable<(int A, int B)> Stiff(Element element) =>
        element
            is VoltageSource
                or Inductor
                or BehaviouralSource { Kind: OutputKind.Voltage }
                or VoltageControlledSource { Kind: OutputKind.Voltage }
                or CurrentControlledSource { Kind: OutputKind.Voltage }
        && element.Device is null
            ? Chain(element.Terminals)
            : [];

    private static IEnumerable<(int A, int B)> Chain(ImmutableArray<Terminal> ends) =>
        Enumerable.Range(1, Math.Max(0, ends.Length - 1)).Select(i => (ends[0].Node, ends[i].Node));
}
