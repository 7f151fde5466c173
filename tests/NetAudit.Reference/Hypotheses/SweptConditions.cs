using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Expectations;

namespace NetAudit.Reference.Hypotheses;

/// <summary>The conditions that a bench puts an amplifier into, one of every kind and one of each tube and switch position.</summary>
public static class SweptConditions
{
    private const double LowMains = 85;

    /// <summary>Powered normally first.</summary>
    public static ImmutableArray<Condition> Of(Amplifier amplifier)
    {
        var sheet = amplifier.Sheet;
        var terms = new List<ConditionTerm> { new PowerOff() };
        foreach (var found in sheet.Switches)
        {
            terms.AddRange(
                found.Positions.Skip(1).Select(at => new SwitchSetting(found.Name, at.Name))
            );
        }
        if (sheet.Mains.Nominal is not null)
        {
            terms.Add(new MainsVoltage(LowMains));
        }
        terms.AddRange(sheet.Controls.Select(control => new ControlSetting(control.Name, 0)));
        foreach (var tube in amplifier.Parts.Where(part => part.Class == PartClass.Tube))
        {
            terms.AddRange([new TubePulled(tube.Name), new TubeSwapped(tube.Name)]);
        }
        if (sheet.Signal is not null)
        {
            terms.Add(new SignalLevel(0));
            terms.AddRange(
                amplifier
                    .Stages.Where(stage => !stage.IsSupply && stage.Input > 0)
                    .Select(stage => new SignalInjected(
                        amplifier.Circuit.Nodes[stage.Input].Name,
                        stage.Input
                    ))
            );
        }
        return [Condition.Normal, .. terms.Select(term => Condition.Of([term]))];
    }
}
