using System.Collections.Immutable;

namespace NetAudit.Expectations;

/// <summary>
/// The state in which a reading was taken: what differs from powered normally. Two conditions with the same terms in any order are equal.
/// </summary>
/// <param name="Text">The terms in canonical spelling and order, joined by <c>; </c>; empty when powered normally.</param>
/// <param name="Terms">The terms.</param>
public sealed record Condition(string Text, ImmutableArray<ConditionTerm> Terms)
{
    /// <summary>Powered normally.</summary>
    public static Condition Normal { get; } = new("", []);

    /// <summary>True with the mains off.</summary>
    public bool IsOff => Terms.Any(term => term is PowerOff);

    /// <summary>The condition of those terms.</summary>
    public static Condition Of(IEnumerable<ConditionTerm> terms)
    {
        var sorted = terms
            .OrderBy(term => term.ToString(), StringComparer.OrdinalIgnoreCase)
            .ToImmutableArray();
        return new(string.Join("; ", sorted.Select(term => term.ToString())), sorted);
    }

    /// <inheritdoc/>
    public bool Equals(Condition? other) =>
        other is not null && Text.Equals(other.Text, StringComparison.OrdinalIgnoreCase);

    /// <inheritdoc/>
    public override int GetHashCode() => StringComparer.OrdinalIgnoreCase.GetHashCode(Text);

    /// <inheritdoc/>
    public override string ToString() => Text;
}
