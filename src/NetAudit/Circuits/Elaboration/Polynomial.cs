using NetAudit.Common;
using NetAudit.Netlists.Expressions;

namespace NetAudit.Circuits.Elaboration;

/// <summary>
/// POLY sources as laws. Order of the coefficients (SPICE2 user's guide, non-linear dependent sources; same in ngspice 39): constant, all
/// first-order terms, all second-order terms x1², x1x2, …, x2², …, and so on. A single coefficient is a constant, as in
/// ngspice 39 (measured), whereas SPICE2 took it for a gain.
/// </summary>
internal static class Polynomial
{
    /// <summary>Controls a polynomial may have.</summary>
    public const int MostControls = 20;

    private const int MostTerms = 500;

    /// <summary>The law of the polynomial, or null when it has too many terms.</summary>
    public static Expression? Law(
        Expression[] variables,
        IReadOnlyList<double> coefficients,
        SourceSpan where
    )
    {
        if (coefficients.Count > MostTerms)
        {
            return null;
        }
        var terms = new List<Expression>();
        var factors = new List<int>();
        foreach (var coefficient in coefficients)
        {
            if (coefficient != 0)
            {
                terms.Add(
                    Product(
                        [
                            new Number(coefficient, where),
                            .. factors.Select(factor => variables[factor]),
                        ],
                        where
                    )
                );
            }
            Advance(factors, variables.Length);
        }
        return terms.Count == 0 ? new Number(0, where) : Balanced(BinaryOperator.Add, terms, where);
    }

    /// <summary>The next product in order: indices never descend, so 00, 01, 11 for two variables of second order.</summary>
    private static void Advance(List<int> factors, int variables)
    {
        for (var i = factors.Count - 1; i >= 0; i--)
        {
            if (factors[i] + 1 < variables)
            {
                var next = factors[i] + 1;
                for (var j = i; j < factors.Count; j++)
                {
                    factors[j] = next;
                }
                return;
            }
        }
        var order = factors.Count + 1;
        factors.Clear();
        factors.AddRange(Enumerable.Repeat(0, order));
    }

    private static Expression Product(IReadOnlyList<Expression> factors, SourceSpan where) =>
        Balanced(BinaryOperator.Multiply, factors, where);

    /// <summary>A chain as a tree of little depth.</summary>
    private static Expression Balanced(
        BinaryOperator binary,
        IReadOnlyList<Expression> parts,
        SourceSpan where
    )
    {
        if (parts.Count == 1)
        {
            return parts[0];
        }
        var half = parts.Count / 2;
        return new Binary(
            binary,
            Balanced(binary, [.. parts.Take(half)], where),
            Balanced(binary, [.. parts.Skip(half)], where),
            where
        );
    }
}
