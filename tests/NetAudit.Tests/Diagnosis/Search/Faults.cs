using System.Collections.Immutable;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>Fault classes without a circuit.</summary>
internal static class Faults
{
    /// <summary>A fault that sets solver parameter <paramref name="index"/> to a free value between 1 and e cubed.</summary>
    public static FaultClass Free(int index, double share = 0.1) =>
        Of(index, ValueRange.Log(1, Math.Exp(3), 3), share, Parameter(index));

    /// <summary>A fault without a free value.</summary>
    public static FaultClass Fixed(
        int index,
        double share = 0.1,
        params ImmutableArray<Alteration> alterations
    ) =>
        Of(
            index,
            ValueRange.Fixed(1),
            share,
            alterations.IsEmpty ? [Parameter(index)] : alterations
        );

    public static Alteration Parameter(int index) => new(AlterationKind.Parameter, index, 0, 1);

    public static Alteration Bridge(int a, int b) => new(AlterationKind.Bridge, a, b, 1);

    private static FaultClass Of(
        int index,
        ValueRange range,
        double share,
        params ImmutableArray<Alteration> alterations
    ) =>
        new(
            index,
            alterations,
            range,
            new(index, -1, -1, -1, 0),
            [new(new($"R{index}", FaultMode.Drifted), share)]
        );
}
