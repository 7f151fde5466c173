using System.Globalization;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using Microsoft.CodeAnalysis.Text;

namespace NetAudit.Mutation;

/// <summary>Weaves slips into a source file, each behind a switch, so that one build holds them all.</summary>
internal sealed class Weaver(ILookup<TextSpan, (int Id, Mutant Mutant)> slips)
    : CSharpSyntaxRewriter
{
    /// <summary>What a switch asks, up to its number.</summary>
    public const string Switch = "global::NetAudit.MutantSwitch.Is(";

    public override SyntaxNode? Visit(SyntaxNode? node)
    {
        var visited = base.Visit(node);
        if (node is not (ExpressionSyntax or StatementSyntax) || visited is null)
        {
            return visited;
        }
        foreach (
            var (id, mutant) in slips[node.Span]
                .Where(slip => slip.Mutant.Original == node.ToString())
        )
        {
            visited = (node, mutant.IsStatement) switch
            {
                (StatementSyntax, true) => SyntaxFactory.ParseStatement(
                    $"if ({Switch}{id})) {{ {mutant.Replacement} }} else {{ {visited} }}"
                ),
                (ExpressionSyntax, false) => SyntaxFactory.ParseExpression(
                    $"({Switch}{id}) ? ({mutant.Replacement}) : ({visited}))"
                ),
                _ => visited,
            };
            visited = visited.WithTriviaFrom(node);
        }
        return visited;
    }

    /// <summary>The slips that a compiler error at a place is due to: those woven around it, or else in its member.</summary>
    public static IEnumerable<int> At(SyntaxTree tree, int line, int column)
    {
        var position = tree.GetText().Lines[line - 1].Start + column - 1;
        var node = tree.GetRoot().FindToken(position).Parent!;
        var around = node.AncestorsAndSelf().SelectMany(Own).ToArray();
        if (around.Length > 0)
        {
            return around;
        }
        var member = node.AncestorsAndSelf().OfType<MemberDeclarationSyntax>().First();
        return member.DescendantNodes().SelectMany(Own);
    }

    private static IEnumerable<int> Own(SyntaxNode node)
    {
        var condition = node switch
        {
            ConditionalExpressionSyntax choice => choice.Condition,
            IfStatementSyntax choice => choice.Condition,
            _ => null,
        };
        var text = condition?.ToString() ?? "";
        return text.StartsWith(Switch, StringComparison.Ordinal)
            ? [int.Parse(text[Switch.Length..].TrimEnd(')'), CultureInfo.InvariantCulture)]
            : [];
    }
}
