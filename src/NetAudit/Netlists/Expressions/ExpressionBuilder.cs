using System.Collections.Immutable;
using Antlr4.Runtime;
using Antlr4.Runtime.Tree;
using NetAudit.Common;
using NetAudit.Netlists.Generated;

namespace NetAudit.Netlists.Expressions;

/// <summary>Turns the parser's tree into an <see cref="Expression"/>. Chains such as a+b+c are built in a loop, and their depth is bounded.</summary>
internal sealed class ExpressionBuilder
{
    private readonly string text;
    private ParsedExpression? problem;

    private ExpressionBuilder(string text) => this.text = text;

    /// <summary>Builds the expression of a tree that the parser found without fault.</summary>
    public static ParsedExpression Build(ExpressionParser.ConditionalContext tree, string text)
    {
        var builder = new ExpressionBuilder(text);
        var expression = builder.Conditional(tree);
        if (builder.problem is not null)
        {
            return builder.problem;
        }
        return ExpressionSize.Depth(expression) > ExpressionReader.Deepest
            ? new ParsedExpression(
                null,
                $"the expression has more than {ExpressionReader.Deepest} operations in a row"
            )
            : new ParsedExpression(expression);
    }

    private Expression Conditional(ExpressionParser.ConditionalContext tree)
    {
        var condition = Disjunction(tree.disjunction());
        var branches = tree.conditional();
        return branches.Length == 0
            ? condition
            : new Conditional(
                condition,
                Conditional(branches[0]),
                Conditional(branches[1]),
                Where(tree)
            );
    }

    private Expression Disjunction(ExpressionParser.DisjunctionContext tree) =>
        Chain(tree, child => Conjunction((ExpressionParser.ConjunctionContext)child));

    private Expression Conjunction(ExpressionParser.ConjunctionContext tree) =>
        Chain(tree, child => Equality((ExpressionParser.EqualityContext)child));

    private Expression Equality(ExpressionParser.EqualityContext tree) =>
        Chain(tree, child => Comparison((ExpressionParser.ComparisonContext)child));

    private Expression Comparison(ExpressionParser.ComparisonContext tree) =>
        Chain(tree, child => Sum((ExpressionParser.SumContext)child));

    private Expression Sum(ExpressionParser.SumContext tree) =>
        Chain(tree, child => Product((ExpressionParser.ProductContext)child));

    private Expression Product(ExpressionParser.ProductContext tree) =>
        Chain(tree, child => Signed((ExpressionParser.SignedContext)child));

    private Expression Signed(ExpressionParser.SignedContext tree) =>
        tree.power() is { } power
            ? Power(power)
            : Sign((ITerminalNode)tree.GetChild(0), Signed(tree.signed()), tree);

    private Expression Power(ExpressionParser.PowerContext tree) =>
        Chain(
            tree,
            child =>
                child is ExpressionParser.PrimaryContext primary
                    ? Primary(primary)
                    : Exponent((ExpressionParser.ExponentContext)child)
        );

    private Expression Exponent(ExpressionParser.ExponentContext tree) =>
        tree.primary() is { } primary
            ? Primary(primary)
            : Sign((ITerminalNode)tree.GetChild(0), Power(tree.power()), tree);

    private Expression Primary(ExpressionParser.PrimaryContext tree) =>
        tree switch
        {
            ExpressionParser.LiteralContext literal => Literal(literal),
            ExpressionParser.ReferenceContext reference => Reference(reference),
            ExpressionParser.VoltageContext voltage => new NodeVoltage(
                Text(voltage.NODE(0)),
                voltage.NODE().Length > 1 ? Text(voltage.NODE(1)) : null,
                Where(tree)
            ),
            ExpressionParser.CurrentContext current => new BranchCurrent(
                Text(current.NODE()),
                Where(tree)
            ),
            ExpressionParser.ParenthesisedContext inner => Conditional(inner.conditional()),
            _ => Conditional(((ExpressionParser.BracedContext)tree).conditional()),
        };

    private Number Literal(ExpressionParser.LiteralContext tree)
    {
        var word = Text(tree.NUMBER());
        if (!SpiceNumber.TryParse(word, out var value, out _))
        {
            problem ??= new ParsedExpression(
                null,
                $"{word} is not a number",
                tree.Start.StartIndex,
                word.Length
            );
        }
        return new Number(value, Where(tree));
    }

    private Expression Reference(ExpressionParser.ReferenceContext tree)
    {
        var name = Text(tree.NAME());
        if (tree.OPEN() is null)
        {
            return new ParameterReference(name, Where(tree));
        }
        var arguments = tree.conditional()
            .Select(argument => Conditional(argument))
            .ToImmutableArray();
        return new Call(name.ToLowerInvariant(), arguments, Where(tree));
    }

    private static Expression Sign(
        ITerminalNode sign,
        Expression operand,
        ParserRuleContext tree
    ) =>
        sign.Symbol.Type switch
        {
            ExpressionLexer.MINUS => new Unary(UnaryOperator.Negate, operand, Where(tree)),
            ExpressionLexer.NOT => new Unary(UnaryOperator.Not, operand, Where(tree)),
            _ => operand,
        };

    private static Expression Chain(ParserRuleContext tree, Func<IParseTree, Expression> operand)
    {
        var result = operand(tree.GetChild(0));
        for (var i = 1; i + 1 < tree.ChildCount; i += 2)
        {
            var sign = ((ITerminalNode)tree.GetChild(i)).Symbol;
            var right = operand(tree.GetChild(i + 1));
            var where = result.Where with
            {
                Length = right.Where.Column + right.Where.Length - result.Where.Column,
            };
            result = Combine(sign.Type, result, right, where);
        }
        return result;
    }

    private static Expression Combine(
        int sign,
        Expression left,
        Expression right,
        SourceSpan where
    ) =>
        sign switch
        {
            ExpressionLexer.REMAINDER => new Call("mod", [left, right], where),
            ExpressionLexer.WHOLE_DIVIDE => new Call(
                "int",
                [new Binary(BinaryOperator.Divide, left, right, where)],
                where
            ),
            _ => new Binary(Operator(sign), left, right, where),
        };

    private static BinaryOperator Operator(int sign) =>
        sign switch
        {
            ExpressionLexer.PLUS => BinaryOperator.Add,
            ExpressionLexer.MINUS => BinaryOperator.Subtract,
            ExpressionLexer.TIMES => BinaryOperator.Multiply,
            ExpressionLexer.DIVIDE => BinaryOperator.Divide,
            ExpressionLexer.POWER => BinaryOperator.Power,
            ExpressionLexer.LESS => BinaryOperator.Less,
            ExpressionLexer.LESS_OR_EQUAL => BinaryOperator.LessOrEqual,
            ExpressionLexer.GREATER => BinaryOperator.Greater,
            ExpressionLexer.GREATER_OR_EQUAL => BinaryOperator.GreaterOrEqual,
            ExpressionLexer.EQUAL => BinaryOperator.Equal,
            ExpressionLexer.NOT_EQUAL => BinaryOperator.NotEqual,
            ExpressionLexer.AND => BinaryOperator.And,
            _ => BinaryOperator.Or,
        };

    /// <summary>A token's text from the source: the lexer saw letters in place of characters outside ASCII.</summary>
    private string Text(ITerminalNode node) =>
        text[node.Symbol.StartIndex..(node.Symbol.StopIndex + 1)];

    private static SourceSpan Where(ParserRuleContext tree) =>
        new(
            "",
            0,
            tree.Start.StartIndex + 1,
            Math.Max(1, tree.Stop.StopIndex - tree.Start.StartIndex + 1)
        );
}
