using NetAudit.Bench.Circuits;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Bench.Entry;

/// <summary>What a value typed alone is taken for: a place, what is measured there, and in which condition.</summary>
/// <param name="At">Point or part, as it is typed.</param>
/// <param name="Ref">The other probe, or null for chassis.</param>
/// <param name="Kind">What is measured or done.</param>
/// <param name="Condition">In which condition.</param>
/// <param name="Name">The place in full.</param>
/// <param name="Expected">What a healthy unit shows; null where no meter shows it.</param>
public sealed record ReadingTarget(
    string At,
    string? Ref,
    ReadingKind Kind,
    Condition Condition,
    string Name,
    ExpectedReading? Expected
)
{
    /// <summary>True for a DC reading against chassis of a unit that is powered normally.</summary>
    public bool IsPlain => Kind == ReadingKind.Dc && Ref is null && Condition == Condition.Normal;

    /// <summary>What is done, in words: empty for a plain DC reading.</summary>
    public string How =>
        string.Join(
            ", ",
            new[]
            {
                Kind switch
                {
                    ReadingKind.Dc => "",
                    ReadingKind.Ac => "AC volts",
                    ReadingKind.Ohms => "ohms",
                    ReadingKind.Tap => "tap it",
                    ReadingKind.Wiggle => "wiggle it",
                    ReadingKind.Look => "look at it",
                    _ => "listen there",
                },
                Ref is null ? "" : $"against {Ref}",
                Condition == Condition.Normal ? "" : Condition.Text,
            }.Where(text => text.Length > 0)
        );

    /// <summary>The line that is typed for a value here.</summary>
    public string Line(string value)
    {
        var kind = Kind == ReadingKind.Dc ? "" : $" {Kind.Name()}";
        var place = Ref is null ? At : $"{At} {Ref}";
        var line = Kind > ReadingKind.Ohms ? $"{place}{kind} {value}" : $"{place} {value}{kind}";
        return Condition == Condition.Normal ? line : $"{line} @ {Condition.Text}";
    }

    /// <summary>A DC reading of a point against chassis.</summary>
    public static ReadingTarget Of(ExpectedReading expected, Amplifier amplifier)
    {
        ArgumentNullException.ThrowIfNull(expected);
        return new(
            expected.Point.ShortName(amplifier),
            null,
            ReadingKind.Dc,
            Condition.Normal,
            expected.Point.Name,
            expected
        );
    }

    /// <summary>A reading that the answer proposes.</summary>
    public static ReadingTarget Of(NextReading next, PreparedCircuit circuit)
    {
        ArgumentNullException.ThrowIfNull(next);
        ArgumentNullException.ThrowIfNull(circuit);
        var point = circuit.Amplifier!.FindPoint(next.At);
        var target = new ReadingTarget(
            next.At,
            null,
            next.Kind,
            next.Condition,
            point?.Name ?? next.At,
            null
        );
        return TypedReading.Read(target.Line("1"), circuit.Amplifier!).Readings is [var reading]
            ? target with
            {
                Expected = circuit.For(reading),
            }
            : target;
    }
}
