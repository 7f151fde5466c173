using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Reference.Ngspice;
using Xunit;

namespace NetAudit.Tests.Circuits.Elaboration;

/// <summary>The measured rows of expressions.csv, measured again: one netlist with all of them, run by libngspice and read here.</summary>
public class ExpressionsAgainstNgspiceTests
{
    [Fact]
    public void Sources_AllRows_GiveWhatNgspiceGives() => Compare("in_source", isSource: true);

    [Fact]
    public void Parameters_AllRows_GiveWhatNgspiceGives() =>
        Compare("in_parameter", isSource: false);

    private static void Compare(string column, bool isSource)
    {
        Assert.SkipUnless(NgspiceSession.IsPresent, "libngspice is not installed");
        var rows = TestTable
            .Read("netlists/expressions.csv")
            .Where(row => row["source"].StartsWith("ngspice", StringComparison.Ordinal))
            .Where(row => row[column] != "")
            .ToList();
        var lines = new List<string> { "expressions" };
        for (var i = 0; i < rows.Count; i++)
        {
            lines.AddRange(Cards(rows[i], i, isSource));
        }
        lines.Add(".end");
        var circuit = Netlist.Circuit(string.Join('\n', lines.Skip(1)));
        var measured = NgspiceSession.Use(session =>
        {
            session.Load(lines);
            Assert.True(session.OperatingPoint(), session.Log);
            return rows.Select((_, i) => session.Value($"v(o{i})")).ToArray();
        });
        for (var i = 0; i < rows.Count; i++)
        {
            var element = circuit.Elements[circuit.FindElement(isSource ? $"B{i}" : $"V{i}")];
            var ours = element switch
            {
                BehaviouralSource source => LawValue.Of(
                    source.Law,
                    [.. source.ControlVoltages.Select(pair => Volts(pair, rows[i]["x"]))],
                    []
                ),
                VoltageSource source => source.Stimulus.Dc,
                _ => double.NaN,
            };
            Assert.True(
                Math.Abs(ours - measured[i]) <= 1e-9 * Math.Max(1, Math.Abs(measured[i])),
                $"{rows[i]["expression"]} at {rows[i]["x"]}: {ours:R}, ngspice {measured[i]:R}"
            );
        }
    }

    private static string[] Cards(Dictionary<string, string> row, int i, bool isSource)
    {
        var expression = row["expression"];
        return isSource
            ?
            [
                $"VX{i} x{i} 0 {row["x"]}",
                $"B{i} o{i} 0 V={expression.Replace("v(x", $"v(x{i}", StringComparison.Ordinal).Replace(",x)", $",x{i})", StringComparison.Ordinal)}",
                $"R{i} o{i} 0 1k",
            ]
            :
            [
                $".param x{i}={row["x"]}",
                $".param a{i}={{{expression.Replace("v(x)", $"x{i}", StringComparison.Ordinal)}}}",
                $"V{i} o{i} 0 {{a{i}}}",
                $"R{i} o{i} 0 1k",
            ];
    }

    private static double Volts((Terminal Positive, Terminal Negative) pair, string x)
    {
        var value = double.Parse(x, CultureInfo.InvariantCulture);
        return pair.Positive.Node == 0 ? -value : value;
    }
}
