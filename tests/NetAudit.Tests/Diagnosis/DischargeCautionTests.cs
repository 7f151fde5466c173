using System.Globalization;
using System.Text.RegularExpressions;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Tests.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>How long 100 µF at 450 V stays dangerous, in words.</summary>
public sealed partial class DischargeCautionTests
{
    [Theory]
    [InlineData(220e3, "s", 1)]
    [InlineData(1e6, "min", 60)]
    [InlineData(47e6, "h", 3600)]
    public void Of_ReservoirAndItsBleeder_SaysTheTimeInItsUnit(
        double ohms,
        string unit,
        double seconds
    )
    {
        var words = Assert.Single(DischargeCaution.Of(Bled(ohms)));

        var time = Time().Match(words);
        Assert.True(time.Success, words);
        Assert.Equal(unit, time.Groups[2].Value);
        // t = R C ln(V0 / V), to two digits.
        var expected = ohms * 100e-6 * Math.Log(450.0 / 50) / seconds;
        Assert.Equal(
            expected,
            double.Parse(time.Groups[1].Value, CultureInfo.InvariantCulture),
            0.04 * expected
        );
        Assert.EndsWith(
            "; with RB open C1 takes more than a day. Never count on it: measure.",
            words,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Of_OneThatEmptiesAtOnce_SaysASecond() =>
        Assert.Contains(
            "in about a second;",
            Assert.Single(DischargeCaution.Of(Bled(5e3))),
            StringComparison.Ordinal
        );

    [Fact]
    public void Of_NothingToDischargeIt_SaysThatADayDoesNotSuffice() =>
        Assert.Equal(
            [
                "Left alone with cold tubes, C1 falls from 450 V to 50 V in more than a day. Never count on it: measure.",
            ],
            DischargeCaution.Of(Supply(""))
        );

    [Fact]
    public void Of_TwoReservoirs_NamesTheSlower()
    {
        var words = Assert.Single(
            DischargeCaution.Of(Supply("RB b1 0 220k\nR2 ht b2 1\nC2 b2 0 100u\nRB2 b2 0 470k\n"))
        );

        Assert.StartsWith(
            "Left alone with cold tubes, C2 falls from 450 V to 50 V in about ",
            words,
            StringComparison.Ordinal
        );
        Assert.Contains(", the others sooner; with ", words, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_NothingAboveFiftyVolts_IsNone() =>
        Assert.Empty(DischargeCaution.Of(Supply("RB b1 0 220k\n", volts: 45)));

    private static Amplifier Bled(double ohms) =>
        Supply(string.Create(CultureInfo.InvariantCulture, $"RB b1 0 {ohms}\n"));

    private static Amplifier Supply(string cards, double volts = 450) =>
        SupplyCircuit.Read(
            $"one\nVHT ht 0 DC {volts}\nR1 ht b1 1\nC1 b1 0 100u\n{cards}",
            "[power_off]\nopen = [\"VHT\"]\n"
        );

    [GeneratedRegex(
        @"^Left alone with cold tubes, C1 falls from 450 V to 50 V in about ([0-9.]+) (s|min|h);"
    )]
    private static partial Regex Time();
}
