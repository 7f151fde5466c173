using NetAudit.Audits.Stresses;
using NetAudit.Circuits;
using NetAudit.Reference.Netlists;
using NetAudit.Reference.Ngspice;
using NetAudit.Simulation;
using NetAudit.Tests.Circuits;
using NetAudit.Tests.Reference;
using Xunit;

namespace NetAudit.Tests.Audits.Stresses;

/// <summary>Powers and currents of every part of the sample circuits against what ngspice 39 reports of its devices.</summary>
public sealed class StressAgainstNgspiceTests
{
    private const double Relative = 1e-3;
    private const double Watts = 1e-9;

    [Theory]
    [MemberData(nameof(Amplifiers.Samples), MemberType = typeof(Amplifiers))]
    public void Read_SampleCircuit_AgreesWithNgspice(string netlist)
    {
        NgspiceRequirement.Check();
        var amplifier = Amplifiers.Sample(netlist);
        var elements = amplifier.Circuit.Elements;
        var workspace = new Workspace(CompiledCircuit.Compile(amplifier.Circuit));
        Assert.True(workspace.Solve([], TestContext.Current.CancellationToken).Converged);
        workspace.EvaluateCurrents();
        var differences = new List<string>();
        NgspiceSession.Use(session =>
        {
            session.Load(FlatNetlist.Write(amplifier.Circuit));
            Assert.True(session.OperatingPoint(), session.Log);
            foreach (var point in StressPlan.Of(amplifier).Points)
            {
                if (Expected(session, elements, point) is { } expected)
                {
                    var found = point.Read(workspace);
                    if (Math.Abs(found - expected) > Watts + Relative * Math.Abs(expected))
                    {
                        differences.Add(
                            $"{point.Item.Part} {point.Item.Kind.Describe()}: {found:R}, ngspice {expected:R}"
                        );
                    }
                }
            }
            return true;
        });

        Assert.Empty(differences);
    }

    private static double? Expected(
        NgspiceSession session,
        System.Collections.Immutable.ImmutableArray<Element> elements,
        StressPoint point
    ) =>
        point switch
        {
            ResistorPower power => power.Elements.Sum(i => Of($"@r{i}[p]")),
            ResistorCurrent current => Math.Abs(Of($"@r{current.Element}[i]")),
            SemiconductorStress { Item.Kind: StressKind.Power } device
                when elements[device.Element] is BipolarTransistor => Of($"@q{device.Element}[p]"),
            SemiconductorStress { Item.Kind: StressKind.Power } device
                when elements[device.Element] is Diode => Of($"@d{device.Element}[p]"),
            SemiconductorStress { Item.Kind: StressKind.CollectorCurrent } device => Math.Abs(
                Of($"@q{device.Element}[ic]")
            ),
            ElectrodeStress { Item.Kind: StressKind.CathodeCurrent } tube => tube.Sources.Sum(
                source => source.Sign * Of($"@b{source.Element}[i]")
            ),
            _ => null,
        };

    private static double Of(string vector) => NgspiceSession.Use(s => s.Value(vector));
}
