using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>Names of a changed value: R2 of 10 kΩ.</summary>
public sealed class SuspectNamesTests
{
    private readonly SmallBench _bench = new();

    [Theory]
    // Off by a decade or two it looks like another part's value; else it has drifted.
    [InlineData(15e3, FaultMode.Drifted)]
    [InlineData(100e3, FaultMode.WrongValue)]
    [InlineData(120e3, FaultMode.WrongValue)]
    [InlineData(130e3, FaultMode.Drifted)]
    [InlineData(82e3, FaultMode.WrongValue)]
    [InlineData(1e3, FaultMode.WrongValue)]
    [InlineData(100, FaultMode.WrongValue)]
    [InlineData(9.5e3, FaultMode.Drifted)]
    public void Primary_OfAChangedValue_IsTheModeThatSuitsIt(double ohms, FaultMode mode)
    {
        var fault = SuspectNames.Primary(_bench.Fault("R2 drifted"), ohms);

        Assert.Equal((mode, ohms), (fault.Mode, fault.Value));
    }

    [Fact]
    public void Names_OfAValueAboveNominal_HoldABadJointOfTheRest()
    {
        var names = Names("R2 drifted", 15e3);

        Assert.Equal(2, names.Count(f => f.Mode == FaultMode.ResistiveJoint));
        Assert.All(
            names.Where(f => f.Mode == FaultMode.ResistiveJoint),
            f => Assert.Equal(5e3, f.Value)
        );
    }

    [Fact]
    public void Names_OfAValueBelowNominal_HoldNoBadJoint() =>
        Assert.DoesNotContain(Names("R2 drifted", 5e3), f => f.Mode == FaultMode.ResistiveJoint);

    [Fact]
    public void Names_OfTwoFaults_AreAllCombinationsTheLikeliestFirst()
    {
        var evaluation = Found(("R2 open", 1e10), ("R5 open", 1e10));

        var (faults, equivalents) = SuspectNames.Of(new(evaluation, [], 1));

        Assert.Equal(["R2 open", "R5 open"], faults.Select(f => f.Describe()));
        // Three names each.
        Assert.Equal(8, equivalents.Length);
        Assert.Equal(
            9,
            equivalents
                .Append(faults)
                .Select(set => string.Join(" + ", set.Select(f => f.Describe())))
                .Distinct()
                .Count()
        );
    }

    [Fact]
    public void Names_OfASuspect_HoldThoseOfItsEquivalents()
    {
        var (faults, equivalents) = SuspectNames.Of(
            new(Found(("R2 drifted", 5e3)), [Found(("R1 drifted", 20e3))], 1)
        );

        Assert.Equal("R2", Assert.Single(faults).Part);
        Assert.Contains(equivalents, set => set.Single() is { Part: "R1", Value: 20e3 });
    }

    private Fault[] Names(string fault, double value)
    {
        var (faults, equivalents) = SuspectNames.Of(new(Found((fault, value)), [], 1));
        return [.. faults, .. equivalents.SelectMany(set => set)];
    }

    private Evaluation Found(params (string Fault, double Value)[] faults)
    {
        var set = _bench.Set([.. faults.Select(f => f.Fault)]);
        return new()
        {
            Set = set,
            Values =
            [
                .. set.Members.Select(m => faults.Single(f => _bench.Fault(f.Fault) == m).Value),
            ],
            Converged = true,
        };
    }
}
