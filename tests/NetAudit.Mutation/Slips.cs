using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace NetAudit.Mutation;

/// <summary>
/// Finds the places where a slip can be made: an operator or comparison turned, a condition negated, a truth value turned, a statement
/// left out, a LINQ or Math method taken for its counterpart. Words, figures and argument guards are let be: no test should hold them.
/// </summary>
internal sealed class Slips(string file) : CSharpSyntaxWalker
{
    private static readonly Dictionary<SyntaxKind, string[]> Operators = new()
    {
        [SyntaxKind.AddExpression] = ["-"],
        [SyntaxKind.SubtractExpression] = ["+"],
        [SyntaxKind.MultiplyExpression] = ["/"],
        [SyntaxKind.DivideExpression] = ["*"],
        [SyntaxKind.ModuloExpression] = ["*"],
        [SyntaxKind.LessThanExpression] = ["<=", ">="],
        [SyntaxKind.LessThanOrEqualExpression] = ["<", ">"],
        [SyntaxKind.GreaterThanExpression] = [">=", "<="],
        [SyntaxKind.GreaterThanOrEqualExpression] = [">", "<"],
        [SyntaxKind.EqualsExpression] = ["!="],
        [SyntaxKind.NotEqualsExpression] = ["=="],
        [SyntaxKind.LogicalAndExpression] = ["||"],
        [SyntaxKind.LogicalOrExpression] = ["&&"],
        [SyntaxKind.AddAssignmentExpression] = ["-="],
        [SyntaxKind.SubtractAssignmentExpression] = ["+="],
        [SyntaxKind.MultiplyAssignmentExpression] = ["/="],
        [SyntaxKind.DivideAssignmentExpression] = ["*="],
    };

    private static readonly Dictionary<string, string> Counterparts = new(StringComparer.Ordinal)
    {
        ["Any"] = "All",
        ["All"] = "Any",
        ["First"] = "Last",
        ["Last"] = "First",
        ["FirstOrDefault"] = "LastOrDefault",
        ["LastOrDefault"] = "FirstOrDefault",
        ["Min"] = "Max",
        ["Max"] = "Min",
        ["MinBy"] = "MaxBy",
        ["MaxBy"] = "MinBy",
        ["OrderBy"] = "OrderByDescending",
        ["OrderByDescending"] = "OrderBy",
        ["ThenBy"] = "ThenByDescending",
        ["ThenByDescending"] = "ThenBy",
        ["Skip"] = "Take",
        ["Take"] = "Skip",
        ["Sinh"] = "Cosh",
        ["Cosh"] = "Sinh",
        ["Sin"] = "Cos",
        ["Cos"] = "Sin",
        ["Floor"] = "Ceiling",
        ["Ceiling"] = "Floor",
    };

    private readonly List<Mutant> _found = [];

    /// <summary>Every slip that a file has room for.</summary>
    public static IReadOnlyList<Mutant> In(string file, SyntaxNode root)
    {
        var slips = new Slips(file);
        slips.Visit(root);
        return slips._found;
    }

    // A constant must stay one, a pattern and a default value too.
    public override void VisitAttributeList(AttributeListSyntax node) { }

    public override void VisitEnumMemberDeclaration(EnumMemberDeclarationSyntax node) { }

    public override void VisitParameter(ParameterSyntax node) { }

    public override void VisitCaseSwitchLabel(CaseSwitchLabelSyntax node) { }

    public override void VisitConstantPattern(ConstantPatternSyntax node) { }

    public override void VisitRelationalPattern(RelationalPatternSyntax node) { }

    public override void VisitFieldDeclaration(FieldDeclarationSyntax node)
    {
        if (!node.Modifiers.Any(SyntaxKind.ConstKeyword))
        {
            base.VisitFieldDeclaration(node);
        }
    }

    public override void VisitLocalDeclarationStatement(LocalDeclarationStatementSyntax node)
    {
        if (!node.IsConst)
        {
            base.VisitLocalDeclarationStatement(node);
        }
    }

    public override void VisitBinaryExpression(BinaryExpressionSyntax node)
    {
        foreach (var other in Operators.GetValueOrDefault(node.Kind(), []))
        {
            Add(node, $"{node.Left} {other} {node.Right}");
        }
        if (node.IsKind(SyntaxKind.CoalesceExpression) && node.Right is not ThrowExpressionSyntax)
        {
            Add(node, $"{node.Right}");
        }
        base.VisitBinaryExpression(node);
    }

    public override void VisitPrefixUnaryExpression(PrefixUnaryExpressionSyntax node)
    {
        if (node.Kind() is SyntaxKind.UnaryMinusExpression or SyntaxKind.LogicalNotExpression)
        {
            Add(node, $"{node.Operand}");
        }
        base.VisitPrefixUnaryExpression(node);
    }

    public override void VisitLiteralExpression(LiteralExpressionSyntax node)
    {
        if (node.Kind() is SyntaxKind.TrueLiteralExpression or SyntaxKind.FalseLiteralExpression)
        {
            Add(node, node.IsKind(SyntaxKind.TrueLiteralExpression) ? "false" : "true");
        }
    }

    public override void VisitIfStatement(IfStatementSyntax node)
    {
        Negate(node.Condition);
        base.VisitIfStatement(node);
    }

    public override void VisitConditionalExpression(ConditionalExpressionSyntax node)
    {
        Negate(node.Condition);
        base.VisitConditionalExpression(node);
    }

    public override void VisitInvocationExpression(InvocationExpressionSyntax node)
    {
        if (
            node.Expression
                is MemberAccessExpressionSyntax { Name: IdentifierNameSyntax name } method
            && Counterparts.TryGetValue(name.Identifier.Text, out var other)
        )
        {
            Add(node, $"{method.Expression}.{other}{node.ArgumentList}");
        }
        base.VisitInvocationExpression(node);
    }

    public override void VisitExpressionStatement(ExpressionStatementSyntax node)
    {
        var expression = node.Expression;
        if (
            expression is AssignmentExpressionSyntax assignment
            && Operators.TryGetValue(assignment.Kind(), out var others)
        )
        {
            Add(node, $"{assignment.Left} {others[0]} {assignment.Right};");
        }
        else if (!expression.ToString().Contains(".ThrowIf", StringComparison.Ordinal))
        {
            Add(node, "");
        }
        base.VisitExpressionStatement(node);
    }

    // Comparisons are turned as they are; what is left is asked the other way round.
    private void Negate(ExpressionSyntax condition)
    {
        if (
            condition
            is not (
                BinaryExpressionSyntax
                or PrefixUnaryExpressionSyntax
                or LiteralExpressionSyntax
            )
        )
        {
            Add(condition, $"!({condition})");
        }
    }

    private void Add(SyntaxNode node, string replacement) =>
        _found.Add(
            new(
                file,
                node.GetLocation().GetLineSpan().StartLinePosition.Line + 1,
                node.Span,
                node.ToString(),
                replacement,
                node is StatementSyntax
            )
        );
}
