using System.Collections.Immutable;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Expectations;

/// <summary>
/// The spread terms of several scenes at once. What is the same unit in all of them is one amount; a known-good tube that was fitted for
/// one condition, and a wall voltage that was set and read for it, are amounts of their own.
/// </summary>
internal static class SceneSpreads
{
    /// <summary>One sigma of a wall voltage that was set by hand and read off, as a fraction (common practice, no source).</summary>
    private const double SetMains = 0.01;

    /// <summary>The terms of each scene: lists of one length, in which a term that does not act has no parameters.</summary>
    public static ImmutableArray<ImmutableArray<SpreadTerm>> Of(
        ImmutableArray<SpreadTerm> common,
        IReadOnlyList<Scene> scenes
    )
    {
        var all = common.ToList();
        var actsIn = Enumerable.Repeat<Scene?>(null, common.Length).ToList();
        foreach (var scene in scenes)
        {
            foreach (var term in common.Where(t => HasOwn(scene, t)))
            {
                all.Add(
                    term with
                    {
                        Name = $"{term.Name}, {scene.Condition}",
                        Sigma = term.IsMains ? SetMains : term.Sigma,
                    }
                );
                actsIn.Add(scene);
            }
        }
        return
        [
            .. scenes.Select(scene =>
                all.Select(
                        (term, i) =>
                            actsIn[i] is { } owner
                                ? owner == scene
                                    ? term
                                    : Idle(term)
                                : HasOwn(scene, term)
                                    ? Idle(term)
                                    : term
                    )
                    .ToImmutableArray()
            ),
        ];
    }

    private static bool HasOwn(Scene scene, SpreadTerm term) =>
        term.IsMains ? scene.MainsAreKnown : term.Tube is { } tube && scene.Swapped.Contains(tube);

    private static SpreadTerm Idle(SpreadTerm term) => term with { Parameters = [] };
}
