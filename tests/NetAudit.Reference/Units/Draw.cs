namespace NetAudit.Reference.Units;

/// <summary>Random draws that the generators share.</summary>
internal static class Draw
{
    public static double Between(this Random random, double low, double high) =>
        low + (high - low) * random.NextDouble();

    /// <summary>Between two positive limits, every decade equally likely.</summary>
    public static double Decades(this Random random, double low, double high) =>
        low * Math.Pow(high / low, random.NextDouble());

    /// <summary>Normal with standard deviation 1 (polar method of Box and Muller).</summary>
    public static double Normal(this Random random)
    {
        var radius = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()));
        return radius * Math.Cos(2 * Math.PI * random.NextDouble());
    }

    public static T Of<T>(this Random random, IReadOnlyList<T> items) =>
        items[random.Next(items.Count)];
}
