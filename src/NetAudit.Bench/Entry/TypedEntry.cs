using System.Collections.Immutable;
using NetAudit.Bench.Circuits;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Bench.Entry;

/// <summary>A name that completes what is being typed.</summary>
/// <param name="Text">What is put in its place.</param>
/// <param name="Expected">The point it means.</param>
public sealed record Completion(string Text, ExpectedReading Expected);

/// <summary>What the one input makes of what is typed: a reading, with or without a point.</summary>
public static class TypedEntry
{
    private const int MostCompletions = 8;

    /// <summary>The reading; a value alone is taken at the point that is proposed.</summary>
    public static ReadingsResult Read(string text, PreparedCircuit circuit, ReadingTarget? proposed)
    {
        ArgumentNullException.ThrowIfNull(circuit);
        ArgumentNullException.ThrowIfNull(text);
        var amplifier = circuit.Amplifier!;
        text = text.Trim();
        var typed = TypedReading.Read(text, amplifier);
        // A word is a value too where something is looked at or listened to.
        var isWord =
            proposed?.Kind > ReadingKind.Ohms && !text.Contains(' ', StringComparison.Ordinal);
        if (!typed.HasErrors || proposed is null || !(IsValue(text) || isWord))
        {
            return typed;
        }
        return TypedReading.Read(proposed.Line(text), amplifier);
    }

    /// <summary>True when the text begins with a value rather than with a point.</summary>
    public static bool IsValue(string text)
    {
        var first = FirstWord(text);
        return first.Equals("OL", StringComparison.OrdinalIgnoreCase)
            || first is "-" or "+" or "."
            || EngineeringNotation.TryParse(first, out _)
            || (first.Length > 0 && EngineeringNotation.TryParse(first + "0", out _));
    }

    /// <summary>Points whose names begin with what is typed, each once, while the name is still being typed.</summary>
    public static ImmutableArray<Completion> Complete(string text, PreparedCircuit circuit)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(circuit);
        var typed = text.TrimStart();
        if (typed.Length == 0 || typed.Contains(' ', StringComparison.Ordinal))
        {
            return [];
        }
        var amplifier = circuit.Amplifier!;
        return
        [
            .. circuit
                .Order.SelectMany(expected =>
                    expected
                        .Point.Aliases.Prepend(expected.Point.ShortName(amplifier))
                        .Append(expected.Point.Name)
                        .Where(name =>
                            name.StartsWith(typed, StringComparison.OrdinalIgnoreCase)
                            && !name.Contains(' ', StringComparison.Ordinal)
                        )
                        .OrderBy(name => name.Length)
                        .Take(1)
                        .Select(name => new Completion(name, expected))
                )
                .OrderBy(completion => completion.Text.Length)
                .ThenBy(completion => completion.Text, StringComparer.OrdinalIgnoreCase)
                .Take(MostCompletions),
        ];
    }

    private static string FirstWord(string text) =>
        text.Split((char[]?)null, 2, StringSplitOptions.RemoveEmptyEntries) is [var first, ..]
            ? first
            : "";
}
