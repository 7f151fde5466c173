using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Observations;
using NetAudit.Expectations;
using NetAudit.Tests.Circuits;
using NetAudit.Tests.Diagnosis.Catalogue;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Observations;

/// <summary>What was seen and heard, by the likelihoods of the table.</summary>
public sealed class TestimonyTests
{
    private static readonly Amplifier Amplifier = Amplifiers.Sample("marram-20.cir");
    private static readonly Listed Catalogue = new(Amplifier);

    [Theory]
    // 0.4 and 0.3 against 0.08 for what has nothing to do with it.
    [InlineData("weak", "V3 weak", 0.4 / 0.08)]
    [InlineData("weak", "XV1A dead", 0.3 / 0.08)]
    [InlineData("weak", "C1 short", 1)]
    // Class and mode, any class, any mode.
    [InlineData("hums", "C12 dried out", 0.5 / 0.05)]
    [InlineData("blows fuse", "C12 short", 0.8 / 0.008)]
    [InlineData("blows fuse", "R3 short", 0.4 / 0.008)]
    public void Complaint_OfAFault_IsItsLikelihoodAgainstAnyOther(
        string complaint,
        string fault,
        double ratio
    )
    {
        var weighed = Weighed(complaint)[Catalogue[fault].Index];

        var named = Catalogue[fault].Identities.Select(i => i.Fault).ToArray();
        if (named.Length == 1)
        {
            Assert.Equal(Math.Log(ratio), Assert.Single(weighed.Testimony), 9);
        }
        else
        {
            Assert.InRange(weighed.Testimony[0], 0, Math.Log(ratio) + 1e-9);
        }
        Assert.Equal(Catalogue[fault].Share, weighed.Share, 12);
        Assert.Equal(Math.Log(weighed.Share) + weighed.Testimony.Sum(), weighed.LogWeight, 12);
    }

    [Theory]
    // A joint of the part that was moved, another fault of it, a fault elsewhere: 0.7, 0.2, 0.04.
    [InlineData("V1 wiggle noisy", "V1 pin 1: joint open", 0.7 / 0.04)]
    [InlineData("V1 wiggle noisy", "V1 pin 1: bad joint", 0.7 / 0.04)]
    [InlineData("V1 wiggle noisy", "V1 pins 1-2 bridged", 0.7 / 0.04)]
    [InlineData("V1 wiggle noisy", "XV1A gassy", 0.2 / 0.04)]
    [InlineData("V1 wiggle noisy", "V3 pin 7: joint open", 1)]
    // What is left to 1.
    [InlineData("V1 wiggle normal", "V1 pin 1: joint open", 0.3 / 0.96)]
    [InlineData("V1 look normal", "V1 pin 1: joint open", 0.9 / 0.95)]
    [InlineData("V1 look cracked", "XV1A gassy", 0.4 / 0.005)]
    public void Observation_AtAPart_SpeaksOfItsJointsAndOfItself(
        string line,
        string fault,
        double ratio
    )
    {
        var observed = Assert.Single(TypedReading.Read(line, Amplifier).Readings);

        var weighed = Testimony.Weigh(Amplifier, [.. Catalogue.Classes], null, [observed]);

        Assert.Equal(Math.Log(ratio), Assert.Single(weighed[Catalogue[fault].Index].Testimony), 9);
    }

    [Fact]
    public void Observation_AtAControl_IsOfAContact()
    {
        var volume = Amplifier.Parts.First(p => p.Class == PartClass.Potentiometer).Name;
        var observed = Assert.Single(
            TypedReading.Read($"{volume} wiggle noisy", Amplifier).Readings
        );
        var control = Catalogue.Classes.First(c =>
            c.Identities.All(i =>
                i.Fault.Mode == FaultMode.Short && Amplifier.FindPart(i.Fault.Part)?.Name == volume
            )
        );

        var weighed = Testimony.Weigh(Amplifier, [.. Catalogue.Classes], null, [observed]);

        Assert.Equal(Math.Log(0.7 / 0.04), weighed[control.Index].Testimony[0], 9);
    }

    [Fact]
    public void Weigh_ClassOfSeveralNames_MixesWhatIsSaidOfEachAndTellsThemApart()
    {
        // "R3 open" and its open joints do the same; only the joints crackle when R3 is moved.
        var open = Catalogue["R3 open"];
        var observed = Assert.Single(TypedReading.Read("R3 wiggle noisy", Amplifier).Readings);

        var weighed = Testimony.Weigh(Amplifier, [.. Catalogue.Classes], null, [observed])[
            open.Index
        ];

        double[] rates = [0.45, 0.15, 0.15];
        double[] ratios = [0.2 / 0.04, 0.7 / 0.04, 0.7 / 0.04];
        var mean = rates.Zip(ratios, (r, x) => r * x).Sum() / rates.Sum();
        Assert.Equal(Math.Log(mean), weighed.Testimony[0], 9);
        Assert.Equal(open.Share, weighed.Share, 12);
        var shareOfOpen = weighed.Identities.Single(i => i.Fault.Mode == FaultMode.Open).Share;
        Assert.Equal(open.Share * rates[0] * ratios[0] / (mean * rates.Sum()), shareOfOpen, 12);
        Assert.Equal(weighed.Identities.OrderByDescending(i => i.Share), weighed.Identities);
        Assert.Equal(FaultMode.OpenJoint, weighed.Identities[0].Fault.Mode);
    }

    [Fact]
    public void Weigh_HeardAndComplainedOfTheSame_CountsOnce()
    {
        var heard = Assert.Single(TypedReading.Read("out listen hums", Amplifier).Readings);

        var both = Testimony.Weigh(Amplifier, [.. Catalogue.Classes], "hums", [heard]);

        Assert.Equal(
            Weighed("hums").Select(c => c.Testimony[0]),
            both.Select(c => Assert.Single(c.Testimony))
        );
    }

    [Fact]
    public void Weigh_NothingSaid_LeavesTheCatalogue()
    {
        var classes = Testimony.Weigh(Amplifier, [.. Catalogue.Classes], null, []);

        Assert.Equal(Catalogue.Classes, classes);
        Assert.All(classes, c => Assert.Empty(c.Testimony));
        Assert.All(classes, c => Assert.Equal(Math.Log(c.Share), c.LogWeight));
    }

    [Fact]
    public void HealthyLogOdds_OfAComplaint_AreAgainstTheHealthyUnit()
    {
        Assert.Equal(0, Testimony.HealthyLogOdds(null));
        Assert.Equal(Math.Log(0.002 / 0.05), Testimony.HealthyLogOdds("hums"), 12);
        Assert.Equal(Math.Log(0.002 / 0.008), Testimony.HealthyLogOdds("blows fuse"), 12);
    }

    private static FaultClass[] Weighed(string complaint) =>
        [.. Testimony.Weigh(Amplifier, [.. Catalogue.Classes], complaint, [])];
}
