namespace NetAudit.Benchmarks.TubeFits;

internal static class Misfit
{
    /// <summary>Log ratio of a found and a published value; a found value of nothing is a very large misfit, not an infinite one.</summary>
    public static double Log(double found, double published) =>
        Math.Log(Math.Max(found, 1e-12) / published);
}
