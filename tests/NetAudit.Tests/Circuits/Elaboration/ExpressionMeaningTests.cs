using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Netlists.Expressions;
using Xunit;

namespace NetAudit.Tests.Circuits.Elaboration;

/// <summary>What expressions mean, against figures measured on ngspice 39.3; the source of each row stands in the data file.</summary>
public class ExpressionMeaningTests
{
    public static TheoryData<string, double, double> InSource => Rows("in_source");

    public static TheoryData<string, double, double> InParameter => Rows("in_parameter");

    [Theory]
    [MemberData(nameof(InSource))]
    public void Law_OfSource_HasMeasuredValue(string expression, double x, double expected)
    {
        foreach (
            var card in new[]
            {
                $"B1 1 0 V={expression}",
                $"B1 1 0 V={{{expression}}}",
                $"E1 1 0 VALUE={{{expression}}}",
                $"E1 1 0 VOL='{expression}'",
            }
        )
        {
            var circuit = Netlist.Circuit($"Vx x 0 1\nRx x 0 1\nR1 1 0 1k\n{card}");
            var source = circuit.Elements.OfType<BehaviouralSource>().Single();
            var value = Value(source.Law, x * Sign(source));
            Assert.Equal(expected, value, 1e-8 * Math.Max(1, Math.Abs(expected)));
        }
    }

    [Theory]
    [MemberData(nameof(InParameter))]
    public void Parameter_OfExpression_HasMeasuredValue(
        string expression,
        double x,
        double expected
    )
    {
        var text = expression.Replace("v(x)", "x", StringComparison.Ordinal);
        var value = x.ToString("R", CultureInfo.InvariantCulture);
        var source = Netlist.Element<VoltageSource>(
            $".param x={value}\n.param a={{{text}}}\nV1 1 0 {{a}}\nR1 1 0 1k",
            "V1"
        );
        Assert.Equal(expected, source.Stimulus.Dc, 1e-8 * Math.Max(1, Math.Abs(expected)));
    }

    [Fact]
    public void Power_InFileThatUsesSignedPower_DropsTheSign()
    {
        // Where pwrs exists, pwr(x,y) is |x|^y: the pair adds to zero below zero, as the published triode form needs.
        var source = Netlist.Element<BehaviouralSource>(
            "Vx x 0 1\nG1 1 0 VALUE={(PWR(V(x),1.5)+PWRS(V(x),1.5))/2}\nR1 1 0 1",
            "G1"
        );
        Assert.Equal(8, Value(source.Law, 4), 1e-12);
        Assert.Equal(0, Value(source.Law, -4), 1e-12);
    }

    private static TheoryData<string, double, double> Rows(string column)
    {
        var data = new TheoryData<string, double, double>();
        foreach (var row in TestTable.Read("netlists/expressions.csv").Where(r => r[column] != ""))
        {
            data.Add(
                row["expression"],
                double.Parse(row["x"], CultureInfo.InvariantCulture),
                double.Parse(row[column], CultureInfo.InvariantCulture)
            );
        }
        return data;
    }

    /// <summary>v(0,x) arrives as the negative of v(x), or as the pair (0, x): the sign belongs to the law either way.</summary>
    private static double Sign(BehaviouralSource source) =>
        source.ControlVoltages.Length > 0 && source.ControlVoltages[0].Positive.Node == 0 ? -1 : 1;

    private static double Value(Expression law, double x) => LawValue.Of(law, [x], []);
}
