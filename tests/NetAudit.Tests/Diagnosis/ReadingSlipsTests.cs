using NetAudit.Diagnosis;
using NetAudit.Expectations;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>What a questionable reading looks like: volts at a, b and c, of which a healthy unit has 6, 40 and 3.</summary>
public sealed class ReadingSlipsTests
{
    private const double Sigma = 0.1;

    [Theory]
    [InlineData(60, "looks like 6.000 V with the decimal point or the range misread")]
    [InlineData(0.06, "looks like 6.000 V with the decimal point or the range misread")]
    [InlineData(6200, "looks like 6.200 V with the decimal point or the range misread")]
    [InlineData(-6, "looks like 6.000 V with the sign lost")]
    [InlineData(-5.75, "looks like 5.750 V with the sign lost")]
    [InlineData(39.8, "looks like the voltage of b: was the probe on the wrong pin?")]
    [InlineData(3.1, "looks like the voltage of c: was the probe on the wrong pin?")]
    // More than three standard deviations from all of them.
    [InlineData(-5.6, null)]
    [InlineData(3.4, null)]
    [InlineData(17, null)]
    public void Describe_VoltsOfAHealthyUnit_IsTheCommonSlipThatWouldGiveThem(
        double volts,
        string? words
    ) => Assert.Equal(words, ReadingSlips.Describe(Healthy(volts), 0));

    [Fact]
    public void Describe_VoltsOfTwoPlacesAlike_IsTheNearer()
    {
        var result = Healthy(39.8) with
        {
            Readings = [State("a", 39.8, 6), State("b", 40, 40), State("d", 39.9, 39.9)],
        };

        Assert.Contains(" of d:", ReadingSlips.Describe(result, 0), StringComparison.Ordinal);
    }

    [Fact]
    public void Describe_VoltsThatAnotherKindOrConditionHas_IsNoWrongPin()
    {
        var off = Condition.Of([new PowerOff()]);
        var result = Healthy(17) with
        {
            Readings =
            [
                State("a", 17, 6),
                State("b", 17, 17, ReadingKind.Ac),
                State("c", 17, 17, condition: off),
                // The same place read again.
                State("a", 17, 17),
            ],
        };

        Assert.Null(ReadingSlips.Describe(result, 0));
    }

    [Fact]
    public void Describe_UnitWithAFault_IsComparedWithWhatTheFaultPredicts()
    {
        var suspect = new Suspect(
            0.9,
            "",
            [new Fault("R1", FaultMode.Open)],
            [],
            1,
            [9, 40, 3],
            [0]
        );
        var result = Healthy(90) with { Verdict = Verdict.Fault, Suspects = [suspect] };

        Assert.Equal(
            "looks like 9.000 V with the decimal point or the range misread",
            ReadingSlips.Describe(result, 0)
        );
        Assert.Null(ReadingSlips.Describe(Healthy(90), 0));
        // A healthy unit is what the readings speak for, whatever comes next.
        Assert.Null(ReadingSlips.Describe(result with { Verdict = Verdict.WithinLimits }, 0));
    }

    [Fact]
    public void Describe_ResistanceWhereNoneIsExpected_HasNoSignToLose()
    {
        // On the scale of resistances less than nothing is nothing.
        var result = Healthy(0) with
        {
            Readings = [State("a", 5e3, 0, ReadingKind.Ohms)],
        };

        Assert.Null(ReadingSlips.Describe(result, 0));
    }

    [Fact]
    public void Sentences_OfTheReadings_AreOneForEachThatIsQuestionable()
    {
        var result = Healthy(60);

        Assert.Equal(
            ["a, read 60.00 V, looks like 6.000 V with the decimal point or the range misread."],
            SlipWords.Sentences(result)
        );
        Assert.Equal(
            ["a, read 17.00 V, fits neither the others nor any fault weighed."],
            SlipWords.Sentences(Healthy(17))
        );
    }

    private static DiagnosisResult Healthy(double voltsAtA) =>
        new()
        {
            Verdict = Verdict.WithinLimits,
            Healthy = 1,
            Suspects = [],
            Stages = [],
            Readings =
            [
                State("a", voltsAtA, 6) with
                {
                    Questionable = true,
                },
                State("b", 40, 40),
                State("c", 3, 3),
            ],
            Notes = [],
        };

    private static ReadingState State(
        string at,
        double value,
        double expected,
        ReadingKind kind = ReadingKind.Dc,
        Condition? condition = null
    )
    {
        var node = at[0] - 'a' + 1;
        var row = new Row(kind, node, 0, 1e7, 0);
        var reading = new Reading(
            at,
            node,
            kind,
            value,
            null,
            null,
            null,
            0,
            condition ?? Condition.Normal,
            "",
            default
        );
        return new(reading, expected, 0, 0, 0, 0, false)
        {
            Row = row,
            Sigma = Sigma,
            Place = RowScale.Of(row, value),
        };
    }
}
