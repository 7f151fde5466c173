using CsCheck;
using NetAudit.Netlists.Expressions;
using Xunit;

namespace NetAudit.Tests.Netlists.Expressions;

public class BuiltInFunctionsTests
{
    public static TheoryData<string> Names => [.. BuiltInFunctions.Names];

    [Theory]
    [MemberData(nameof(Names))]
    public void Evaluate_FiniteArguments_NeverThrowsAndNeverGivesNaN(string name)
    {
        var function = BuiltInFunctions.Find(name)!;
        var count = name == "table" ? 5 : function.Least;
        Gen.Double[-1e6, 1e6]
            .Array[count]
            .Sample(arguments => !double.IsNaN(function.Evaluate(arguments)));
    }

    [Theory]
    [InlineData("ln", "log")]
    [InlineData("arctan", "atan")]
    [InlineData("pwl", "table")]
    public void Find_OtherSpelling_GivesTheFunction(string spelling, string name) =>
        Assert.Equal(name, BuiltInFunctions.Find(spelling)!.Name);

    [Fact]
    public void Divide_ByZero_IsLargeAndFinite() =>
        // ngspice 39.3, measured: 1/0 in a source is 1e32.
        Assert.Equal(1e32, BuiltInFunctions.Divide(1, 0), 1e18);

    [Fact]
    public void Exp_BeyondItsRange_IsFinite() =>
        Assert.True(double.IsFinite(BuiltInFunctions.Find("exp")!.Evaluate([1e9])));
}
