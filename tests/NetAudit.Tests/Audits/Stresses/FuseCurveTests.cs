using System.Globalization;
using CsCheck;
using NetAudit.Audits.Stresses;
using Xunit;

namespace NetAudit.Tests.Audits.Stresses;

/// <summary>Pre-arcing times against the gates of IEC 60127-2 (sheets 2 and 3, from memory), <c>Data/audits/fuse-gates.csv</c>.</summary>
public sealed class FuseCurveTests
{
    public static TheoryData<string, double, double, double, double> Gates()
    {
        var gates = new TheoryData<string, double, double, double, double>();
        foreach (var row in TestTable.Read("audits/fuse-gates.csv"))
        {
            double Number(string column) =>
                row[column].Length == 0
                    ? 0
                    : double.Parse(row[column], CultureInfo.InvariantCulture);
            gates.Add(
                row["speed"],
                Number("amps"),
                Number("multiple"),
                Number("least"),
                Number("most")
            );
        }
        return gates;
    }

    [Theory]
    [MemberData(nameof(Gates))]
    public void Find_AtAGate_IsTheGate(
        string speed,
        double rated,
        double multiple,
        double least,
        double most
    )
    {
        var opening = FuseCurve.Find(multiple * rated, rated, speed)!.Value;

        Assert.Equal(least, opening.Least, 9);
        Assert.Equal(most, opening.Most, 6);
    }

    [Fact]
    public void Find_OneAndAHalfTimesRated_Holds() =>
        Assert.True(FuseCurve.Find(0.75, 0.5, "T")!.Value.Holds);

    [Fact]
    public void Find_BetweenHoldingAndTheFirstGate_IsUndecided()
    {
        var opening = FuseCurve.Find(0.9, 0.5, "T")!.Value;

        Assert.False(opening.Holds);
        Assert.False(opening.Opens);
    }

    [Theory]
    [InlineData("M", 0.5)]
    [InlineData("T", 20)]
    public void Find_FuseWithoutCurve_IsUnknown(string speed, double rated) =>
        Assert.Null(FuseCurve.Find(5, rated, speed));

    [Fact]
    public void Find_MoreCurrent_NeverOpensLater() =>
        Gen.Select(Gen.Double[2.1, 30], Gen.Double[2.1, 30], Gen.Bool)
            .Sample(
                (a, b, isQuick) =>
                    FuseCurve.Find(Math.Max(a, b), 1, isQuick ? "F" : "T")!.Value.Most
                    <= FuseCurve.Find(Math.Min(a, b), 1, isQuick ? "F" : "T")!.Value.Most + 1e-12
            );
}
