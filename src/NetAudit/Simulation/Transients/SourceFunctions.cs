using NetAudit.Circuits;

namespace NetAudit.Simulation.Transients;

/// <summary>Which sources change with time in a run, and how.</summary>
internal static class SourceFunctions
{
    /// <summary>
    /// The functions on the cards. A source whose DC value was changed in the workspace (a supply that is low) is shifted by as much.
    /// </summary>
    /// <param name="workspace">The workspace of the run.</param>
    /// <param name="step">Seconds that stand for times that a card leaves out, see <see cref="TimeFunction"/>.</param>
    /// <param name="stop">Length of the run, seconds.</param>
    public static IEnumerable<(int Element, TimeFunction Function)> OfCards(
        Workspace workspace,
        double step,
        double stop
    )
    {
        var elements = workspace.Circuit.Circuit.Elements;
        for (var e = 0; e < elements.Length; e++)
        {
            if (StimulusOf(elements[e]) is { Function: { } name } stimulus)
            {
                var parameter = workspace.Circuit.FindParameter(ParameterKind.Value, e);
                yield return (
                    e,
                    new TimeFunction(name, stimulus.Arguments.AsSpan(), step, stop)
                    {
                        Offset =
                            workspace.Get(parameter)
                            - workspace.Circuit.Parameters[parameter].Nominal,
                    }
                );
            }
        }
    }

    private static Stimulus? StimulusOf(Element element) =>
        element switch
        {
            VoltageSource source => source.Stimulus,
            CurrentSource source => source.Stimulus,
            _ => null,
        };
}
